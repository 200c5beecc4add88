"""Founder genes dropped down the recorded pedigree to the parents of today."""

import numpy as np

from breeding.genetics.pedigree import Pedigree
from breeding.planning.projection.question import Genes, Question


def gametes(genes: Genes, copies: int, random: np.random.Generator) -> Genes:
    """One gamete of each fish, (fish, copies, loci): different copies of the parent's, by chance at each locus."""
    keys = random.random(genes.shape)
    chosen = np.argsort(keys, axis=1)[:, :copies]
    return np.take_along_axis(genes, chosen, axis=1)


def genes_of_parents(question: Question, random: np.random.Generator) -> Genes:
    """Drop founder genes down the recorded pedigree; where parents are in doubt, draw them."""
    drop = _Drop(question.pedigree, question.loci, random)
    at = question.pedigree.positions([*question.dams, *question.sires])
    return np.stack([drop.genes[fish] for fish in at.tolist()])


class _Drop:
    """Genes of every fish of a pedigree in one replicate."""

    def __init__(self, pedigree: Pedigree, loci: int, random: np.random.Generator) -> None:
        self.pedigree, self.loci, self.random = pedigree, loci, random
        self.labels = 0
        self.genes: dict[int, Genes] = {}
        self.drawn: dict[int, int] = {}  # pair of each shared draw
        self.unknown: dict[tuple[int, int], Genes] = {}  # unknown parent of a shared draw, by family and side
        for fish in np.argsort(pedigree.breeders.row_of[: len(pedigree)], kind="stable").tolist():
            self.genes[fish] = self._of(int(pedigree.family[fish]))

    def _of(self, family: int) -> Genes:
        families = self.pedigree.families
        copies = families.copies[family].tolist()
        if self.pedigree.founder_families[family]:
            return self._new(sum(copies))
        pair = self._pair(family)
        sides = enumerate(zip((families.dam[pair], families.sire[pair]), copies, strict=True))
        parts = [self._gamete(int(parent), count, (family, side)) for side, (parent, count) in sides]
        return np.concatenate(parts)

    def _pair(self, family: int) -> int:
        families = self.pedigree.families
        first, end = families.first[family], families.first[family + 1]
        if end - first == 1:
            return int(first)
        if families.shared[family] and family in self.drawn:
            return self.drawn[family]
        chances = families.probability[first:end]
        self.drawn[family] = int(first + self.random.choice(end - first, p=chances / chances.sum()))
        return self.drawn[family]

    def _gamete(self, parent: int, copies: int, side: tuple[int, int]) -> Genes:
        if parent < len(self.pedigree):
            return gametes(self.genes[parent][None], copies, self.random)[0]
        if not self.pedigree.families.shared[side[0]]:
            return self._new(copies)
        if side not in self.unknown:
            self.unknown[side] = self._new(2 * copies)
        return gametes(self.unknown[side][None], copies, self.random)[0]

    def _new(self, copies: int) -> Genes:
        first, self.labels = self.labels, self.labels + copies
        return np.repeat(np.arange(first, self.labels, dtype=np.int32)[:, None], self.loci, axis=1)
