"""The status of a stock as one would write it first: model instances, and kinship by recursion over a dictionary."""

import sys
from dataclasses import dataclass
from random import Random

from registry.models import FishDetails, ParentPair, Stock

Parents = dict[int, tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Plain:
    """A few of the figures; mean kinship and contributions are over a sample of the living."""

    living: int
    inbreeding: float
    mean_kinship: float
    founder_equivalents: float
    by_year: dict[int, int]


def status_of(stock: Stock, sample: int) -> Plain:
    """Read every fish of the stock as an instance, F of each living fish, and all pairs of a sample of them."""
    pairs = {pair.parentage_id: (pair.dam_id, pair.sire_id) for pair in ParentPair.objects.current()}
    rows = list(_instances(stock))
    parents = {row.fish_id: pairs[row.parentage_id] for row in rows if row.parentage_id}
    living = [row.fish_id for row in rows if not row.left]
    kin = Kinship(parents)
    mean_f = sum(kin.between(*parents[fish]) for fish in living if fish in parents) / len(living)
    some = Random(1).sample(living, sample)
    theta = sum(kin.between(a, b) for a in some for b in some) / sample**2
    shares = _contributions(parents, living)
    return Plain(len(living), mean_f, theta, 1 / sum(p * p for p in shares.values()), _alive_by_year(rows))


def _instances(stock: Stock) -> list[FishDetails]:
    return list(FishDetails.objects.current().filter(stock=stock))


class Kinship:
    """Kinship of two fish by recursion from the younger to its parents, remembered by pair; keys rise with age."""

    def __init__(self, parents: Parents) -> None:
        self.parents = parents
        self.known: dict[tuple[int, int], float] = {}
        sys.setrecursionlimit(10_000)

    def between(self, a: int, b: int) -> float:
        """Return f(a, b): half of one and F of it, or the mean over the younger one's parents."""
        if a < b:
            a, b = b, a
        if (a, b) not in self.known:
            self.known[a, b] = self._computed(a, b)
        return self.known[a, b]

    def _computed(self, a: int, b: int) -> float:
        if a not in self.parents:
            return 0.5 if a == b else 0.0
        dam, sire = self.parents[a]
        if a == b:
            return (1 + self.between(dam, sire)) / 2
        return (self.between(dam, b) + self.between(sire, b)) / 2


def _contributions(parents: Parents, living: list[int]) -> dict[int, float]:
    weights: dict[int, float] = dict.fromkeys(living, 1 / len(living))
    for fish in sorted(parents, reverse=True):
        if weight := weights.pop(fish, 0.0):
            for parent in parents[fish]:
                weights[parent] = weights.get(parent, 0.0) + weight / 2
    return weights


def _alive_by_year(rows: list[FishDetails]) -> dict[int, int]:
    counts: dict[int, int] = {}
    for row in rows:
        first = (row.hatched_on or row.caught_on).year
        for year in range(first, row.left_on.year if row.left_on else 2027):
            counts[year] = counts.get(year, 0) + 1
    return counts
