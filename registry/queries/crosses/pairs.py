"""Pairs: how close two fish are, what is planned of them, and where they were crossed."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

import numpy as np

from breeding.genetics.inbreeding import inbreeding_of_young
from breeding.genetics.kinship import kinship_among
from registry.models import CrossSire, FishDetails, PlannedCross
from registry.queries.catalogue import Inherits
from registry.queries.intake.holds import lacks_tissue
from registry.queries.pedigree import pedigree_of

DIPLOID = 2
TWO_COPIES = Inherits(DIPLOID)

Pair = tuple[str, str]  # dam, sire


@dataclass
class Past:
    """What is planned and what was made of pairs."""

    plans: dict[Pair, list[str]] = field(default_factory=lambda: defaultdict(list))
    families: dict[Pair, list[str]] = field(default_factory=lambda: defaultdict(list))


class Kin(NamedTuple):
    """How close two fish are, and the inbreeding expected of their young."""

    kinship: float
    inbreeding_of_young: float


def kinship_limit(policy: Mapping[str, Decimal], ploidy: int) -> float | None:
    """Return the kinship at which the policy finds a pair too close, for so many gene copies."""
    limit = policy.get("max_pair_relationship")
    return None if limit is None else float(limit) / ploidy


def kinship_of_pairs(pairs: Iterable[tuple[int, int]], inherits: Inherits = TWO_COPIES) -> dict[tuple[int, int], float]:
    """Return the kinship of each pair of fish, by keys, as a stock inherits; of two gene copies by default."""
    return {pair: kin.kinship for pair, kin in kin_of_pairs(pairs, inherits).items()}


def kin_of_pairs(pairs: Iterable[tuple[int, int]], inherits: Inherits = TWO_COPIES) -> dict[tuple[int, int], Kin]:
    """Return the kinship of each pair of fish, by keys, and the inbreeding of their young."""
    wanted = list(dict.fromkeys(pairs))
    keys = sorted({key for pair in wanted for key in pair})
    if not keys:
        return {}
    pedigree = pedigree_of(keys, *inherits)
    among = kinship_among(pedigree, keys)
    place = {key: number for number, key in enumerate(keys)}
    at = np.array([(place[a], place[b]) for a, b in wanted])
    young = inbreeding_of_young(pedigree, pedigree.positions(keys)[at], among[at[:, :, None], at[:, None, :]])
    kinship = among[at[:, 0], at[:, 1]].tolist()
    return {pair: Kin(*told) for pair, *told in zip(wanted, kinship, young.tolist(), strict=True)}


def past_of(dams: Iterable[str], sires: Iterable[str], season: int) -> Past:
    """Return in which plans of the season pairs of these fish stand, and in which families they were crossed."""
    found, dams, sires = Past(), list(dams), list(sires)
    planned = PlannedCross.objects.current().filter(plan__season=season, plan__withdrawn__isnull=True)
    planned = planned.filter(dam__number__in=dams, sire__number__in=sires)
    for dam, sire, plan in planned.order_by("plan__number").values_list("dam__number", "sire__number", "plan__number"):
        found.plans[dam, sire].append(plan)
    made = CrossSire.objects.current().filter(cross__withdrawn__isnull=True)
    made = made.filter(cross__dam__number__in=dams, sire__number__in=sires).order_by("cross__family__number")
    for dam, sire, family in made.values_list("cross__dam__number", "sire__number", "cross__family__number"):
        found.families[dam, sire].append(family)
    return found


def without_tissue(fish: Iterable[int]) -> set[str]:
    """Return the numbers of those fish of which no tissue sample is on record."""
    details = FishDetails.objects.current().filter(lacks_tissue(), fish__in=list(fish))
    return set(details.values_list("fish__number", flat=True))
