"""Chance, many drops at a time: one bit for each drop, 64 drops to a word."""

from collections.abc import Sequence

import numpy as np

# Beyond this chance of anything else, an outcome is taken for certain.
NEGLIGIBLE = 2.0**-60


class RandomChance:
    """Random outcomes from a seed."""

    def __init__(self, drops: int, generator: np.random.Generator) -> None:
        self.drops = drops
        self.words = -(-drops // 64)
        self.generator = generator
        self.every = self.packed(np.ones(drops, dtype=bool))

    def packed(self, outcomes: np.ndarray) -> np.ndarray:
        """Words of outcomes told one by one, (drops,) bool; unused bits are 0."""
        bits = np.zeros(64 * self.words, dtype=bool)
        bits[: self.drops] = outcomes
        return np.packbits(bits).view(np.uint64)

    def coins(self, count: int) -> np.ndarray:
        """Fair coins, (count, words)."""
        raw: np.ndarray = self.generator.bit_generator.random_raw(count * self.words)
        return raw.reshape(count, self.words)

    def one_of(self, chances: np.ndarray) -> np.ndarray:
        """Which one of several comes, (n, words): in every drop exactly one; ``chances`` add up to 1."""
        limits = np.cumsum(chances)[:-1]
        which = np.searchsorted(limits, self.generator.random(self.drops), side="right")
        return np.array([self.packed(which == one) for one in range(len(chances))])

    def counts_of(self, total: int, chances: np.ndarray) -> np.ndarray:
        """How often each of several comes in ``total`` trials, (drops, n) int."""
        found: np.ndarray = self.generator.multinomial(total, chances, size=self.drops)
        return found


class EveryChance(RandomChance):
    """Every sequence of so many fair coins exactly once, where nothing but coins decides."""

    def __init__(self, coins: int) -> None:
        super().__init__(2**coins, np.random.default_rng(0))
        self.thrown = 0

    def coins(self, count: int) -> np.ndarray:
        """The next coins, (count, words)."""
        first, self.thrown = self.thrown, self.thrown + count
        cycles = [np.repeat([False, True], 2**coin) for coin in range(first, self.thrown)]
        return np.array([self.packed(np.resize(cycle, self.drops)) for cycle in cycles])


def seen(words: np.ndarray) -> np.ndarray:
    """In how many drops each outcome came, (…, words) to (…)."""
    counts: np.ndarray = np.bitwise_count(words).sum(axis=-1, dtype=np.int64)
    return counts


def any_of(outcomes: Sequence[np.ndarray] | np.ndarray) -> np.ndarray:
    """Whether at least one outcome came, (words,)."""
    return np.bitwise_or.reduce(outcomes, axis=0)
