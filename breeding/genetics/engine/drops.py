"""Which gene copies of every ancestor are still in the living, drop by drop.

The drop is run backwards: a copy of a parent is kept where a kept copy of an offspring came from it. That needs one bit
per copy and drop instead of a label, and has the same law as handing labelled copies down.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from breeding.genetics.engine.chance import RandomChance, any_of
from breeding.genetics.engine.gametes import Gamete, covered_copies, taken_copies
from breeding.genetics.engine.living import Living
from breeding.genetics.pedigree import Pedigree

Words = np.ndarray
# A parent: a breeder's row and -1, or a fish and 0 or 1 for its unknown dam or sire.
Parent = tuple[int, int]
KNOWN = -1
ROWS_A_TICK = 500


class Mating(NamedTuple):
    """One possible parent of a fish: who, by which gamete, and in which drops."""

    parent: Parent
    side: int
    gamete: Gamete
    when: Words


class _Told:
    """What is asked of a pedigree fish by fish, as plain lists: reading one number of an array costs many times more.

    Parents are rows of the breeders; ``rows`` stands for an unknown one.
    """

    def __init__(self, pedigree: Pedigree) -> None:
        breeders, families = pedigree.breeders, pedigree.families
        known = breeders.fish < len(pedigree)
        self.rows = breeders.rows
        self.ploidy = np.where(known, pedigree.ploidy[np.where(known, breeders.fish, 0)], 0).tolist()
        self.first: list[int] = families.first.tolist()
        self.parents: tuple[list[int], list[int]] = breeders.dam.tolist(), breeders.sire.tolist()
        self.copies: list[list[int]] = families.copies.tolist()
        self.double_reduction: list[list[float]] = families.double_reduction.tolist()
        self.founder: list[bool] = pedigree.founder_families.tolist()


class Drop:
    """One run of drops over a pedigree; ``kept`` maps each parent to its copies, (copies, words)."""

    def __init__(
        self, pedigree: Pedigree, chance: RandomChance, stands_for: dict[int, int], tick: Callable[[], object]
    ) -> None:
        self.pedigree = pedigree
        self.breeders = pedigree.breeders
        self.families = pedigree.families
        self.chance = chance
        self.kept: dict[Parent, Words] = {}
        # The fish whose name an unknown parent bears, by shared family.
        self.stands_for = stands_for
        self._draws: dict[int, Words] = {}
        self._always = chance.every[None]
        self._told = _Told(pedigree)
        self.tick = tick

    def run(self, living: Living) -> dict[Parent, Words]:
        """Trace every copy of the living back to the founders."""
        breeders = self.breeders
        rows = breeders.row_of[living.fish]
        bred = rows < breeders.rows
        for row in rows[bred].tolist():
            self._copies((row, KNOWN))[:] = self.chance.every
        counts = np.bincount(
            self.pedigree.family[living.fish[~bred]], np.rint(living.counts[~bred]), len(self.families)
        ).astype(int)
        self._never_bred(counts)
        for row in range(breeders.rows - 1, -1, -1):
            kept = self.kept.get((row, KNOWN))
            fish = int(breeders.fish[row])
            if kept is not None and fish < len(self.pedigree):
                self._hand_back(fish, kept)
            if row % ROWS_A_TICK == 0:
                self.tick()
        return self.kept

    def _copies(self, parent: Parent) -> Words:
        if parent not in self.kept:
            ploidy = self._ploidy(parent)
            self.kept[parent] = np.zeros((ploidy, self.chance.words), dtype=np.uint64)
        return self.kept[parent]

    def _ploidy(self, parent: Parent) -> int:
        number, side = parent
        if side == KNOWN:
            return self._told.ploidy[number]
        return 2 * self._told.copies[self.pedigree.family[number]][side]

    def _hand_back(self, fish: int, kept: Words) -> None:
        family = int(self.pedigree.family[fish])
        dams_copies = self._told.copies[family][0]
        for mating in self._matings(family, fish):
            copies = kept[:dams_copies] if mating.side == 0 else kept[dams_copies:]
            parent = self._copies(mating.parent)
            if mating.gamete[:2] == (2, 1):
                coin = self.chance.coins(1)[0]
                came = copies[0] & mating.when
                parent[0] |= came & coin
                parent[1] |= came & ~coin
            else:
                taken = taken_copies(self.chance, mating.gamete)
                for slot in range(mating.gamete.ploidy):
                    parent[slot] |= any_of(copies & taken[:, slot]) & mating.when

    def _matings(self, family: int, fish: int) -> Iterator[Mating]:
        """Possible parents of one fish, each with the drops in which it is the parent."""
        for number, when in enumerate(self._whens(family)):
            for side in (0, 1):
                found = self._parent(family, number, side, fish)
                if found is not None:
                    yield Mating(found, side, self._gamete(family, side, found), when)

    def _whens(self, family: int) -> Words:
        first, end = self._told.first[family : family + 2]
        if end - first == 1:
            return self._always
        if not self.families.shared[family]:
            return self.chance.one_of(self.families.probability[first:end])
        if family not in self._draws:
            self._draws[family] = self.chance.one_of(self.families.probability[first:end])
        return self._draws[family]

    def _parent(self, family: int, number: int, side: int, fish: int) -> Parent | None:
        told = self._told
        if not told.copies[family][side] or told.founder[family]:
            return None
        row = told.parents[side][told.first[family] + number]
        return (row, KNOWN) if row < told.rows else (self.stands_for.get(family, fish), side)

    def _gamete(self, family: int, side: int, parent: Parent) -> Gamete:
        told = self._told
        return Gamete(self._ploidy(parent), told.copies[family][side], told.double_reduction[family][side])

    def _never_bred(self, counts: np.ndarray) -> None:
        """Copies kept in living fish that never bred, told by family; their own unknown parents are left aside."""
        certain: dict[tuple[Parent, Gamete], int] = defaultdict(int)
        for family in np.flatnonzero(counts).tolist():
            first, end = self._told.first[family : family + 2]
            if end - first > 1 and not self.families.shared[family]:
                self._uncertain_young(family, int(counts[family]))
                continue
            for number, when in enumerate(self._whens(family)):
                for side in (0, 1):
                    parent = self._parent(family, number, side, -1)
                    if parent is None or parent[0] < 0:
                        continue
                    gamete = self._gamete(family, side, parent)
                    if end - first == 1:
                        certain[parent, gamete] += int(counts[family])
                    else:
                        self._cover(parent, gamete, np.array([counts[family]]), when)
        for (parent, gamete), number in certain.items():
            self._cover(parent, gamete, np.array([number]), self.chance.every)

    def _uncertain_young(self, family: int, count: int) -> None:
        """Young that each have their own draw of the possible parents."""
        first, end = self._told.first[family : family + 2]
        drawn = self.chance.counts_of(count, self.families.probability[first:end])
        gametes: dict[tuple[Parent, Gamete], np.ndarray] = defaultdict(lambda: np.zeros(self.chance.drops, dtype=int))
        for number in range(end - first):
            for side in (0, 1):
                parent = self._parent(family, number, side, -1)
                if parent is not None and parent[0] >= 0:
                    gametes[parent, self._gamete(family, side, parent)] += drawn[:, number]
        for (parent, gamete), numbers in gametes.items():
            self._cover(parent, gamete, numbers, self.chance.every)

    def _cover(self, parent: Parent, gamete: Gamete, gametes: np.ndarray, when: Words) -> None:
        copies = self._copies(parent)
        copies |= covered_copies(self.chance, gamete, gametes) & when
