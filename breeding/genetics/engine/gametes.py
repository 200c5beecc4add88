"""Gametes by chance: which gene copies of a parent they carry.

A gamete of τ copies takes distinct copies of the parent, except for double reduction. For τ = 2 the two are the same
parental copy with probability λ. For more copies λ alone does not settle the gamete: one pair is the same with
probability λτ(τ-1)/2, and where that exceeds 1 all copies are one, as often as makes two of them alike with
probability λ.
"""

from functools import lru_cache
from itertools import product
from typing import NamedTuple

import numpy as np

from breeding.genetics.engine.chance import NEGLIGIBLE, RandomChance, any_of


class Gamete(NamedTuple):
    """Kind of a gamete: copies of the parent, copies taken, double reduction."""

    ploidy: int
    copies: int
    double_reduction: float

    def likeness(self) -> tuple[float, float]:
        """Probability that one pair of copies is the same parental copy, and that all are."""
        pairs = self.copies * (self.copies - 1) / 2
        if pairs * self.double_reduction <= 1:
            return pairs * self.double_reduction, 0.0
        everything = (self.double_reduction - 1 / pairs) / (1 - 1 / pairs)
        return 1 - everything, everything


def taken_copies(chance: RandomChance, gamete: Gamete) -> np.ndarray:
    """Which copy of the parent each copy of the gamete is, (copies, ploidy, words): one bit set along the ploidy."""
    random = chance.generator.random
    order = np.argsort(random((gamete.ploidy, chance.drops)), axis=0)[: gamete.copies]
    pair, everything = gamete.likeness()
    if pair or everything:
        kind = random(chance.drops)
        order[1] = np.where(kind < pair + everything, order[0], order[1])
        order[1:] = np.where(kind < everything, order[0], order[1:])
    taken = np.empty((gamete.copies, gamete.ploidy, chance.words), dtype=np.uint64)
    for copy, slot in product(range(gamete.copies), range(gamete.ploidy)):
        taken[copy, slot] = chance.packed(order[copy] == slot)
    return taken


def expected_distinct(gamete: Gamete) -> float:
    """Expected number of distinct parental copies in a gamete."""
    pair, everything = gamete.likeness()
    return gamete.copies - pair - everything * (gamete.copies - 1)


def gametes_to_cover(gamete: Gamete) -> int:
    """So many gametes that a copy of the parent is missing from all of them with negligible chance only."""
    missing = 1 - expected_distinct(gamete) / gamete.ploidy
    return 1 if missing <= 0 else int(np.ceil(np.log(NEGLIGIBLE / gamete.ploidy) / np.log(missing)))


@lru_cache(maxsize=64)
def covered_chances(gamete: Gamete, most: int) -> np.ndarray:
    """Chance that at most c copies of the parent are in n gametes together, (n + 1, c + 1) for n = 0 … most."""
    pair, everything = gamete.likeness()
    distinct = {gamete.copies: 1 - pair - everything}
    for copies, chance in ((gamete.copies - 1, pair), (1, everything)):
        if chance:
            distinct[copies] = distinct.get(copies, 0.0) + chance
    step = np.zeros((gamete.ploidy + 1, gamete.ploidy + 1))
    for copies, chance in distinct.items():
        for before in range(gamete.ploidy + 1):
            step[before] += chance * _newly_covered(gamete.ploidy, before, copies)
    state = np.zeros((most + 1, gamete.ploidy + 1))
    state[0, 0] = 1
    for number in range(most):
        state[number + 1] = state[number] @ step
    return np.cumsum(state, axis=1)


def _newly_covered(ploidy: int, before: int, copies: int) -> np.ndarray:
    """Chance of each number of covered copies after ``copies`` distinct ones are drawn at random."""
    after = np.zeros(ploidy + 1)
    for fresh in range(copies + 1):
        if fresh <= ploidy - before and copies - fresh <= before:
            after[before + fresh] = (
                _ways(ploidy - before, fresh) * _ways(before, copies - fresh) / _ways(ploidy, copies)
            )
    return after


def _ways(total: int, chosen: int) -> float:
    return float(np.prod([(total - one) / (one + 1) for one in range(chosen)]))


def covered_copies(chance: RandomChance, gamete: Gamete, gametes: np.ndarray) -> np.ndarray:
    """Which copies of a parent are in at least one of some gametes, (ploidy, words).

    Parameters
    ----------
    gametes : (drops,) or (1,) int
        How many gametes there are, drop by drop or always.
    """
    enough = gametes_to_cover(gamete)
    gametes = np.minimum(gametes, enough)
    table = covered_chances(gamete, enough)
    if gametes.min() == enough:
        return np.repeat(chance.every[None], gamete.ploidy, axis=0)
    if gamete[:2] == (2, 1) and len(gametes) == 1:
        coins = chance.coins(int(gametes[0]))
        return np.array([any_of(coins), any_of(~coins)])
    drawn = chance.generator.random(chance.drops)
    count = (drawn[:, None] >= table[np.broadcast_to(gametes, chance.drops), :-1]).sum(axis=1)
    full = count == gamete.ploidy
    covered = np.repeat(full[None, :], gamete.ploidy, axis=0)
    partly = np.flatnonzero(~full)
    order = np.argsort(chance.generator.random((gamete.ploidy, len(partly))), axis=0)
    covered[:, partly] = order < count[partly]
    return np.array([chance.packed(slot) for slot in covered])
