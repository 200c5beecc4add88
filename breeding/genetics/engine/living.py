"""A living group of a pedigree: fish, or counts of fish of one parentage."""

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from breeding.genetics.errors import PedigreeError
from breeding.genetics.pedigree import Pedigree

LivingFish = Iterable[Hashable] | Mapping[Hashable, float] | None


@dataclass(frozen=True, eq=False)
class Living:
    """A living group.

    Attributes
    ----------
    fish : (n,) int
        Positions in the pedigree, each once.
    counts : (n,) float
        How many fish each entry stands for.
    """

    fish: np.ndarray
    counts: np.ndarray

    @property
    def total(self) -> float:
        return float(self.counts.sum())


def living_group(pedigree: Pedigree, living: LivingFish = None) -> Living:
    """Find a group in the pedigree.

    Parameters
    ----------
    living
        Names, or counts by name; every fish of the pedigree by default.

    Raises
    ------
    UnknownFishError
        A name is not in the pedigree.
    PedigreeError
        The group is empty, a fish is named twice, a count is not above zero, or a breeder is counted several times.
    """
    if living is None:
        fish, counts = np.arange(len(pedigree)), np.ones(len(pedigree))
    elif isinstance(living, Mapping):
        fish, counts = pedigree.positions(living), np.array(list(living.values()), dtype=float)
    else:
        fish = pedigree.positions(living)
        counts = np.ones(len(fish))
    if not len(fish):
        raise PedigreeError("No fish is living in this group, so it has no kinship. Name at least one.")
    _refuse_counts(pedigree, fish, counts)
    return Living(fish, counts)


def _refuse_counts(pedigree: Pedigree, fish: np.ndarray, counts: np.ndarray) -> None:
    distinct, times = np.unique(fish, return_counts=True)
    if len(distinct) < len(fish):
        twice = pedigree.ids[distinct[times > 1][0]]
        raise PedigreeError(f"{twice} is named twice in the living group. Name each fish once.", [twice])
    for wrong in np.flatnonzero(~(counts > 0))[:1]:
        name = pedigree.ids[fish[wrong]]
        raise PedigreeError(f"The living group counts {counts[wrong]:g} of {name}. Counts must be above zero.", [name])
    bred = pedigree.breeders.row_of[fish] < pedigree.breeders.rows
    for wrong in np.flatnonzero(bred & (counts != 1))[:1]:
        name = pedigree.ids[fish[wrong]]
        raise PedigreeError(
            f"{name} is a parent, so it is one fish, not {counts[wrong]:g}. Give its untagged sibs an entry of their "
            "own.",
            [name],
        )
