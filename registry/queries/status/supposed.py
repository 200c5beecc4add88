"""How the figures would change if unknown parents were not the unrelated founders that they are taken for."""

from collections.abc import Hashable, Mapping
from contextlib import suppress
from dataclasses import dataclass

import numpy as np

from breeding.genetics.diversity import group_kinship
from breeding.genetics.engine.unknown import UNDATED, open_pairs, with_one_pair, with_parents_of_cohort
from breeding.genetics.errors import PedigreeError
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.pedigree import Pedigree
from registry.queries.status.census import YEAR_UNKNOWN, Census

UNRELATED = "Each an unrelated founder, as everywhere on these pages"
COHORT = "Each as related as the known parents of the same hatch year are on average"
WORST = "Those of a year one fish, the known parent most related to the living: about the worst case"


@dataclass(frozen=True, slots=True)
class Supposed:
    """Mean F and mean kinship of the living, self included, under a supposition about unknown parents."""

    label: str
    inbreeding: float
    mean_kinship: float

    @property
    def gene_diversity(self) -> float:
        """Return 1 less the mean kinship, self included."""
        return 1 - self.mean_kinship


def suppositions(pedigree: Pedigree, living: Mapping[Hashable, float], census: Census) -> tuple[Supposed, ...]:
    """Return the figures as they are and under two other suppositions; nothing where no parent is unknown."""
    if not open_pairs(pedigree).any():
        return ()
    born, rank = _born(pedigree, census).tolist(), _closeness(pedigree, living)
    found = [_supposed(UNRELATED, pedigree, living)]
    # Left out where dates contradict the pedigree, so that a known parent of the year descends from the fish itself.
    with suppress(PedigreeError):
        found.append(_supposed(COHORT, with_parents_of_cohort(pedigree, born), living))
        # Where no parent of the year is known, one and the same founder stands for the unknown ones.
        found.append(_supposed(WORST, with_one_pair(with_parents_of_cohort(pedigree, born, rank)), living))
    return tuple(found)


def _closeness(pedigree: Pedigree, living: Mapping[Hashable, float]) -> np.ndarray:
    """Return the mean kinship of each parent with the living, 0 for fish that are none."""
    breeders = pedigree.breeders
    with_group = np.append(group_kinship(pedigree, living).breeder_kinship, 0.0)
    found: np.ndarray = with_group[breeders.row_of[: len(pedigree)]]
    return found


def _supposed(label: str, pedigree: Pedigree, living: Mapping[Hashable, float]) -> Supposed:
    at, counts = pedigree.positions(living), np.array(list(living.values()))
    mean = float(inbreeding(pedigree)[at] @ counts / counts.sum())
    return Supposed(label, mean, group_kinship(pedigree, living).coancestry)


def _born(pedigree: Pedigree, census: Census) -> np.ndarray:
    """Return the hatch year of each family."""
    years = np.full(len(pedigree.families), UNDATED)
    lines = census.lines
    dated = lines.hatched != YEAR_UNKNOWN
    family = pedigree.family[pedigree.positions(census.names)]
    years[family[lines.name[dated]]] = lines.hatched[dated]
    return years
