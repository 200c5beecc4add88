"""The parents of all fish, told once per family: fish of one parentage share one row of arrays."""

from dataclasses import dataclass

import numpy as np

from breeding.genetics.engine.order import spread


@dataclass(frozen=True, eq=False)
class Families:
    """Distinct parentages. A parent is a fish index; an unknown parent is the number of fish, one past the last.

    Attributes
    ----------
    first : (families + 1,) int
        Where the possible pairs of each family begin in the three arrays that follow.
    dam, sire : (pairs,) int
        Fish indices.
    probability : (pairs,) float
        Adds up to 1 in each family.
    copies : (families, 2) int
        Gene copies in the gamete of dam and sire.
    double_reduction : (families, 2) float
        Zero where a gamete has fewer than two copies.
    shared : (families,) bool
        All fish of the family have one realised pair of parents, else each fish has its own draw.
    """

    first: np.ndarray
    dam: np.ndarray
    sire: np.ndarray
    probability: np.ndarray
    copies: np.ndarray
    double_reduction: np.ndarray
    shared: np.ndarray

    def __len__(self) -> int:
        return len(self.shared)

    @property
    def certain(self) -> bool:
        """Whether every fish has one possible pair of parents only."""
        return len(self.dam) == len(self)

    def owner(self) -> np.ndarray:
        """Family of each possible pair, (pairs,)."""
        if self.certain:
            return np.arange(len(self))
        return np.repeat(np.arange(len(self)), np.diff(self.first))

    def part(self, kept: np.ndarray, fish: np.ndarray) -> "Families":
        """Some of the families, (n,) int, for a part of the fish, sorted, that holds all their parents."""
        pairs = spread(self.first, kept)
        return Families(
            first=np.concatenate([[0], np.cumsum(self.first[kept + 1] - self.first[kept])]),
            # The unknown parent lies beyond the last fish, so it is found beyond the last of the part.
            dam=np.searchsorted(fish, self.dam[pairs]),
            sire=np.searchsorted(fish, self.sire[pairs]),
            probability=self.probability[pairs],
            copies=self.copies[kept],
            double_reduction=self.double_reduction[kept],
            shared=self.shared[kept],
        )


def certain_families(
    dam: np.ndarray, sire: np.ndarray, copies: tuple[int, int], double_reduction: tuple[float, float]
) -> Families:
    """Families of one known (or unknown) pair each, all with the same inheritance."""
    count = len(dam)
    return Families(
        first=np.arange(count + 1),
        dam=dam,
        sire=sire,
        probability=np.ones(count),
        copies=np.broadcast_to(np.array(copies), (count, 2)),
        double_reduction=np.broadcast_to(np.array(double_reduction, dtype=float), (count, 2)),
        shared=np.zeros(count, dtype=bool),
    )


def group_pairs(dam: np.ndarray, sire: np.ndarray, unknown: int) -> tuple[np.ndarray, np.ndarray]:
    """Give fish of one (dam, sire) one family number.

    Returns
    -------
    representative : (families,) int
        One fish of each family.
    family : (fish,) int
        Family of each fish.
    """
    mark = np.zeros(unknown + 1, dtype=bool)
    mark[dam] = True
    mark[sire] = True
    parents = int(np.count_nonzero(mark)) + 1
    rank = np.cumsum(mark) - 1
    key = rank[dam] * parents + rank[sire]
    if parents * parents > 64_000_000:
        _, representative, family = np.unique(key, return_index=True, return_inverse=True)
        return representative, family
    # One table lookup per fish instead of a sort: the last fish written under a key stands for its family.
    last = np.empty(parents * parents, dtype=np.int32)
    everyone = np.arange(len(dam), dtype=np.int32)
    last[key] = everyone
    standing = last[key]
    own = standing == everyone
    return np.flatnonzero(own), (np.cumsum(own) - 1)[standing]
