"""Founder genes dropped down the recorded pedigree to the parents of today."""

import numpy as np

from breeding.genetics.engine.gametes import Gamete
from breeding.genetics.pedigree import Pedigree
from breeding.genetics.polysomic import founder_inbreeding
from breeding.planning.projection.question import Genes, Question


def gametes(genes: Genes, copies: int, random: np.random.Generator, double_reduction: float = 0.0) -> Genes:
    """One gamete of each fish, (fish, copies, loci), by chance at each locus.

    It holds different copies of the parent's, but for double reduction, the chance that two are the same one.
    """
    keys = random.random(genes.shape)
    chosen = np.argsort(keys, axis=1)[:, :copies]
    return _made_alike(np.take_along_axis(genes, chosen, axis=1), double_reduction, random)


def _made_alike(genes: Genes, chance: float, random: np.random.Generator) -> Genes:
    """The genes, some copies replaced by another at each locus, so that a pair of them is replaced with that chance."""
    copies = genes.shape[1]
    if not chance or copies < 2:
        return genes
    pair, everything = Gamete(copies, copies, chance).likeness()
    kind = random.random((len(genes), genes.shape[2]))
    genes[:, 1] = np.where(kind < pair + everything, genes[:, 0], genes[:, 1])
    genes[:, 1:] = np.where((kind < everything)[:, None], genes[:, :1], genes[:, 1:])
    return genes


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
            return self._founder(sum(copies), float(families.double_reduction[family].sum()))
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
        if not copies:
            return np.empty((0, self.loci), dtype=np.int32)
        reduction = float(self.pedigree.families.double_reduction[side])
        if parent < len(self.pedigree):
            genes = self.genes[parent]
        elif not self.pedigree.families.shared[side[0]]:
            genes = self._founder(2 * copies, 2 * reduction)
        else:
            if side not in self.unknown:
                self.unknown[side] = self._founder(2 * copies, 2 * reduction)
            genes = self.unknown[side]
        return gametes(genes[None], copies, self.random, reduction)[0]

    def _founder(self, copies: int, reduction: float) -> Genes:
        """New genes, as inbred as a population at rest is where double reduction happens."""
        first, self.labels = self.labels, self.labels + copies
        genes = np.repeat(np.arange(first, self.labels, dtype=np.int32)[:, None], self.loci, axis=1)
        return _made_alike(genes[None], float(founder_inbreeding(copies, reduction)), self.random)[0]
