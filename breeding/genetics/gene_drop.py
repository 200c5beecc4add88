"""Gene drop: how much of each founder's genes is still present in the living, by chance or exactly.

References
----------
MacCluer, VandeBerg, Read and Ryder 1986, Pedigree analysis by computer simulation, Zoo Biol. 5: 147-160.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from breeding.genetics.engine.chance import EveryChance, RandomChance, seen
from breeding.genetics.engine.drops import KNOWN, Drop, Parent
from breeding.genetics.engine.gametes import Gamete, expected_distinct
from breeding.genetics.engine.living import Living, LivingFish, living_group
from breeding.genetics.errors import PedigreeError
from breeding.genetics.founders import Contributions, first_of_draws, unknown_chances, unknown_parents
from breeding.genetics.pedigree import Pedigree

# All outcomes of so many coins are counted instead of drawn.
EXACT_COINS = 16
WORDS_AT_ONCE = 30_000_000
TALLIED_AT_ONCE = 256  # parents whose copies are counted together


@dataclass(frozen=True, eq=False)
class Retention:
    """Expected share of each founder's gene copies that are still present in the living.

    Attributes
    ----------
    of_founders, error_of_founders : (founders,) float
        In the order of ``pedigree.founders()``; the standard error is 0 where the share is exact.
    of_unknown, error_of_unknown : (unknown,) float
        In the order of :func:`breeding.genetics.founders.unknown_parents`. Half at most from one offspring.
    drops
        How many were made; 0 if all outcomes were counted.
    """

    of_founders: np.ndarray
    error_of_founders: np.ndarray
    of_unknown: np.ndarray
    error_of_unknown: np.ndarray
    drops: int

    @property
    def largest_error(self) -> float:
        """The largest standard error."""
        return float(max(self.error_of_founders.max(initial=0.0), self.error_of_unknown.max(initial=0.0)))


def allele_retention(
    pedigree: Pedigree,
    living: LivingFish = None,
    *,
    drops: int = 10_000,
    seed: int = 1,
    tick: Callable[[], object] = tuple,
) -> Retention:
    """Share of founder genes still present in the living.

    Every founder gene copy counts as an allele of its own, related founders' too. Where only a few coins decide (small
    diploid pedigrees of certain parentage) all outcomes are counted and nothing is left to chance.

    Parameters
    ----------
    living
        Names, or whole counts by name; every fish by default.
    drops
        Gene drops; the standard error goes with one over the root of it.
    seed
        The same seed, pedigree and drops give the same result.
    tick
        Called now and then, to show a person that work goes on; what it raises stops the work.

    Examples
    --------
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> pedigree = build_pedigree([ParentRow(young, "Ada", "Bo") for young in ("Ida", "Jon", "Kim")])
    >>> allele_retention(pedigree, ["Ida", "Jon", "Kim"]).of_founders.tolist()
    [0.875, 0.875]
    """
    if drops < 2:
        raise PedigreeError(f"{drops} gene drops give no result with an error. Ask for 2 or more.")
    group = living_group(pedigree, living)
    first, _ = first_of_draws(pedigree)
    stands_for = {int(pedigree.family[fish]): int(fish) for fish in first}
    tally = _Tally(pedigree.breeders.row_of[pedigree.founders()].tolist())
    coins = _coins(pedigree, group)
    if coins is not None and coins <= EXACT_COINS:
        tally.add(Drop(pedigree, EveryChance(coins), stands_for, tick).run(group), 2**coins)
        return _retention(pedigree, group, tally, 0)
    generator = np.random.default_rng(seed)
    at_once = max(64, 64 * (WORDS_AT_ONCE // max(1, _copies_of_breeders(pedigree))))
    for start in range(0, drops, at_once):
        part = min(at_once, drops - start)
        tally.add(Drop(pedigree, RandomChance(part, generator), stands_for, tick).run(group), part)
    return _retention(pedigree, group, tally, drops)


def _copies_of_breeders(pedigree: Pedigree) -> int:
    fish = pedigree.breeders.fish
    return int(pedigree.ploidy[fish[fish < len(pedigree)]].sum())


def founder_genomes_surviving(found: Contributions, kept: Retention) -> float:
    """Founder genome equivalents by contribution and retention, 1/Σ(p²/r) (Lacy 1989).

    Near, but not the same as, 1/(2θ). Founders that left nothing add nothing.
    """
    share = np.concatenate([found.of_founders, found.of_unknown])
    number = np.concatenate([np.ones(len(found.of_founders)), found.count])
    retained = np.concatenate([kept.of_founders, kept.of_unknown])
    left = share > 0
    return float(1 / (share[left] ** 2 / number[left] / retained[left]).sum())


def _coins(pedigree: Pedigree, group: Living) -> int | None:
    """Coins that decide everything; None where more than fair coins decide."""
    families, breeders = pedigree.families, pedigree.breeders
    plain = families.certain and not families.shared.any() and (families.copies == 1).all()
    if not plain or (group.counts != np.rint(group.counts)).any():
        return None
    known = (families.dam < len(pedigree)).astype(int) + (families.sire < len(pedigree))
    known[pedigree.founder_families] = 0
    never_bred = breeders.row_of[group.fish] == breeders.rows
    of_breeders = np.where(known > 0, 2, 0)[breeders.line].sum()
    return int(of_breeders + (group.counts * known[pedigree.family[group.fish]])[never_bred].sum())


class _Tally:
    """Kept copies of each founder, by row, and of each unknown parent over all drops: their sum and sum of squares."""

    def __init__(self, founders: Iterable[int]) -> None:
        self.founders = set(founders)
        self.sums: dict[Parent, tuple[float, float, int]] = {}
        self.drops = 0

    def add(self, kept: dict[Parent, np.ndarray], drops: int) -> None:
        self.drops += drops
        by_ploidy: dict[int, list[Parent]] = defaultdict(list)
        for parent, copies in kept.items():
            if parent[1] != KNOWN or parent[0] in self.founders:
                by_ploidy[len(copies)].append(parent)
        for ploidy, parents in by_ploidy.items():
            for start in range(0, len(parents), TALLIED_AT_ONCE):
                self._add(kept, parents[start : start + TALLIED_AT_ONCE], ploidy)

    def _add(self, kept: dict[Parent, np.ndarray], parents: list[Parent], ploidy: int) -> None:
        copies = np.array([kept[parent] for parent in parents])
        totals = seen(copies).sum(axis=1)
        squares = sum(seen(copies & copies[:, [other]]).sum(axis=1) for other in range(ploidy))
        for parent, total, square in zip(parents, totals.tolist(), squares.tolist(), strict=True):
            before = self.sums.get(parent, (0.0, 0.0, ploidy))
            self.sums[parent] = before[0] + total, before[1] + square, ploidy

    def share(self, parent: Parent) -> tuple[float, float]:
        """Mean share of the copies kept, and its standard error over random drops."""
        if parent not in self.sums:
            return 0.0, 0.0
        total, squares, ploidy = self.sums[parent]
        mean = total / self.drops
        variance = max(0.0, squares / self.drops - mean * mean) / max(1, self.drops - 1)
        return mean / ploidy, float(np.sqrt(variance)) / ploidy


def _retention(pedigree: Pedigree, group: Living, tally: _Tally, drops: int) -> Retention:
    breeders = pedigree.breeders
    living = np.zeros(len(pedigree), dtype=bool)
    living[group.fish] = True
    founders = pedigree.founders()
    rows = breeders.row_of[founders]
    of_founders = np.array([tally.share((row, KNOWN)) for row in rows.tolist()]).reshape(-1, 2)
    of_founders[living[founders]] = 1.0, 0.0
    child, side, _ = unknown_parents(pedigree)
    of_unknown = np.array([tally.share(pair) for pair in zip(child.tolist(), side.tolist(), strict=True)])
    of_unknown = of_unknown.reshape(-1, 2)
    alone = (
        living[child] & (breeders.row_of[child] == breeders.rows) & ~pedigree.families.shared[pedigree.family[child]]
    )
    of_unknown[alone, 0] = _from_one_gamete(pedigree, child[alone], side[alone])
    exact = 0.0 if drops == 0 else 1.0
    return Retention(of_founders[:, 0], exact * of_founders[:, 1], of_unknown[:, 0], exact * of_unknown[:, 1], drops)


def _from_one_gamete(pedigree: Pedigree, child: np.ndarray, side: np.ndarray) -> np.ndarray:
    """Expected share of the copies of unknown parents that is in the one gamete they left in a living fish."""
    families = pedigree.families
    family = pedigree.family[child]
    copies, reduction = families.copies[family, side], families.double_reduction[family, side]
    kinds, place = np.unique(np.column_stack([copies, reduction]), axis=0, return_inverse=True)
    share = [expected_distinct(Gamete(2 * int(kind[0]), int(kind[0]), kind[1])) / (2 * kind[0]) for kind in kinds]
    chances = unknown_chances(pedigree)
    shares: np.ndarray = np.array(share)[place.ravel()] * chances[family, side] if len(child) else np.zeros(0)
    return shares
