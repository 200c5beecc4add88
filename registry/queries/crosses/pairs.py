"""Pairs: how close two fish are, what a cross would do to the stock, what is planned and where they were crossed."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np

from breeding.genetics.diversity import group_kinship
from breeding.genetics.kinship import genes_of, kinship_among, self_kinship_of_positions
from breeding.planning.limits import KINSHIP_TOLERANCE, Limits
from breeding.planning.proposals import Candidates, Living, Mates, Ranking, ranked_pairs
from breeding.planning.reasons import closeness, figure
from registry.models import CrossSire, FishDetails, PlannedCross, Stock
from registry.queries.catalogue import Inherits
from registry.queries.crosses.candidates import Candidate
from registry.queries.intake.holds import lacks_tissue
from registry.queries.pedigree import StockPedigree, pedigree_of, stock_pedigree

# Beyond so many of one sex, those with the lowest mean kinship stand for the others.
MOST_OF_A_SEX = 200
# Kinship limits are meant for two gene copies (half sibs 0.125); so kinship of pairs is told on that scale throughout.
DIPLOID = 2
TWO_COPIES = Inherits(DIPLOID)

Pair = tuple[str, str]  # dam, sire


@dataclass(frozen=True)
class Proposals:
    """Ranked pairs of a stock, and what they were weighed with."""

    ranking: Ranking
    females: list[str]
    males: list[str]
    kinship: np.ndarray  # (females, males)
    coancestry: float
    living: int
    young: int
    limit: float | None
    cut: int = 0


@dataclass
class Past:
    """What is planned and what was made of pairs."""

    plans: dict[Pair, list[str]] = field(default_factory=lambda: defaultdict(list))
    families: dict[Pair, list[str]] = field(default_factory=lambda: defaultdict(list))


def proposals(stock: Stock, found: Sequence[Candidate], policy: dict[str, Decimal]) -> Proposals:
    """Rank every pair of the females and males given by what its family would do to the stock's gene diversity."""
    pedigree = stock_pedigree(stock, [one.key for one in found], ploidy=DIPLOID)
    weighed = _weighed(pedigree, found)
    females, males = (_of_sex(weighed, sex) for sex in ("F", "M"))
    kept = females[:MOST_OF_A_SEX], males[:MOST_OF_A_SEX]
    keys = [one.key for sex in kept for one, *_ in sex]
    among = kinship_among(pedigree.pedigree, keys) if keys else np.zeros((0, 0))
    kinship = among[: len(kept[0]), len(kept[0]) :]
    mates = Mates(_side(kept[0]), _side(kept[1]), kinship)
    limit = kinship_limit(policy)
    limits = Limits(forbidden=_too_close(mates, limit))
    young = int(policy.get("expected_young", 100))
    coancestry = group_kinship(pedigree.pedigree, pedigree.living).coancestry if pedigree.living else 0.0
    ranking = ranked_pairs(mates, Living(coancestry, pedigree.count), young, limits)
    return Proposals(
        ranking=ranking,
        females=list(mates.females.fish),
        males=list(mates.males.fish),
        kinship=kinship,
        coancestry=coancestry,
        living=pedigree.count,
        young=young,
        limit=limit,
        cut=len(females) + len(males) - len(kept[0]) - len(kept[1]),
    )


def kinship_limit(policy: Mapping[str, Decimal]) -> float | None:
    """Return the kinship, on the scale of two gene copies, at which the policy finds a pair too close."""
    limit = policy.get("max_pair_relationship")
    return None if limit is None else float(limit) / DIPLOID


def kinship_of_pairs(pairs: Iterable[tuple[int, int]], inherits: Inherits = TWO_COPIES) -> dict[tuple[int, int], float]:
    """Return the kinship of each pair of fish, by keys, as a stock inherits; of two gene copies by default."""
    wanted = list(dict.fromkeys(pairs))
    keys = sorted({key for pair in wanted for key in pair})
    if not keys:
        return {}
    among = kinship_among(pedigree_of(keys, *inherits), keys)
    place = {key: number for number, key in enumerate(keys)}
    return {(a, b): float(among[place[a], place[b]]) for a, b in wanted}


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


def _weighed(pedigree: StockPedigree, found: Sequence[Candidate]) -> list[tuple[Candidate, float, float]]:
    """Return each candidate with its self-kinship and its mean kinship with the living, itself included if it lives."""
    if not found:
        return []
    places = pedigree.pedigree.positions([one.key for one in found])
    own = self_kinship_of_positions(pedigree.pedigree, places)
    if not pedigree.living:
        return [(one, float(k), 0.0) for one, k in zip(found, own, strict=True)]
    group = group_kinship(pedigree.pedigree, pedigree.living)
    of_living = dict(zip(pedigree.living, group.mean_kinship, strict=True))
    of_others = genes_of(pedigree.pedigree, places) @ group.breeder_kinship
    mean = [of_living.get(one.key, other) for one, other in zip(found, of_others, strict=True)]
    return [(one, float(k), float(m)) for one, k, m in zip(found, own, mean, strict=True)]


def _of_sex(weighed: list[tuple[Candidate, float, float]], sex: str) -> list[tuple[Candidate, float, float]]:
    return sorted((one for one in weighed if one[0].sex == sex), key=lambda one: (one[2], one[0].number))


def _side(weighed: list[tuple[Candidate, float, float]]) -> Candidates:
    own, mean = ([one[place] for one in weighed] for place in (1, 2))
    return Candidates([one.number for one, *_ in weighed], np.array(own, dtype=float), np.array(mean, dtype=float))


def _too_close(mates: Mates, limit: float | None) -> dict[Pair, str]:
    if limit is None:
        return {}
    found = {}
    for f, m in np.argwhere(mates.kinship >= limit - KINSHIP_TOLERANCE):
        k = float(mates.kinship[f, m])
        found[mates.females.fish[f], mates.males.fish[m]] = (
            f"their kinship {figure(k)} is not below the policy's limit of {figure(limit)}; they are {closeness(k)}"
        )
    return found
