"""Kinship among all breeders as one table, filled in order of level.

References
----------
Emik and Terrill 1949, Systematic procedures for calculating inbreeding coefficients, J. Hered. 40: 51-55.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy import sparse

from breeding.genetics.engine.alone import self_kinship_of
from breeding.genetics.engine.breeders import Breeders
from breeding.genetics.founder_kinship import FounderKinship

# Rows filled before they are copied into their columns: enough for whole cache lines, few enough to stay in the cache.
BLOCK = 64


@dataclass(frozen=True, eq=False)
class KinshipTable:
    """Kinship among breeders.

    Attributes
    ----------
    table : (rows + 1, rows + 1) float
        The last row and column, of the unknown parent, are zero.
    alone : (rows + 1,) float
        Self-kinship, the diagonal.
    """

    table: np.ndarray
    alone: np.ndarray

    def pairs(self, a: np.ndarray, b: np.ndarray) -> np.ndarray:
        """Kinship of row ``a[i]`` with row ``b[i]``, (n,)."""
        return self.table[a, b]

    def times(self, weights: np.ndarray) -> np.ndarray:
        """Kinship of each breeder with a weighted group of breeders, (rows,)."""
        return self.table[:-1, :-1] @ weights

    def among(self, left: sparse.csr_array, right: sparse.csr_array) -> np.ndarray:
        """Kinship between groups: ``left`` (n, rows) and ``right`` (m, rows) hold their weights; (n, m)."""
        return (
            right @ (left @ self.table[:-1, :-1]).T
            if left.shape[0] > right.shape[0]
            else (left @ (right @ self.table[:-1, :-1]).T)
        )

    def within(self, weights: sparse.csr_array) -> np.ndarray:
        """Kinship of each weighted group with itself, (n,)."""
        counts = np.diff(weights.indptr)
        total = np.zeros(len(counts))
        for mine in range(counts.max(initial=0)):
            for other in range(counts.max(initial=0)):
                groups = np.flatnonzero(counts > max(mine, other))
                a, b = weights.indptr[groups] + mine, weights.indptr[groups] + other
                share = weights.data[a] * weights.data[b]
                total[groups] += share * self.table[weights.indices[a], weights.indices[b]]
        return total


def kinship_table(breeders: Breeders, founders: FounderKinship | None = None) -> KinshipTable:
    """Fill the kinship table of the breeders.

    Returns
    -------
    KinshipTable
        8 (rows + 1)² bytes.
    """
    rows = breeders.rows
    table = np.zeros((rows + 1, rows + 1))
    weights = breeders.weights[breeders.line]
    ends = breeders.level_ends.tolist()
    for level, (start, stop) in enumerate(pairwise(ends)):
        for begin in range(start, stop, BLOCK):
            end = min(stop, begin + BLOCK)
            if level:
                _fill_block(table, breeders, weights, begin, end)
            block = np.arange(begin, end)
            diagonal = table.ravel()[:: rows + 2]
            table[block, block] = self_kinship_of(
                breeders, breeders.line[begin:end], diagonal, lambda dam, sire: table[dam, sire]
            )
        if not level and founders is not None:
            at = breeders.row_of[founders.fish]
            table[np.ix_(at, at)] = founders.matrix
    return KinshipTable(table, np.diag(table).copy())


def _fill_block(table: np.ndarray, breeders: Breeders, weights: sparse.csr_array, begin: int, end: int) -> None:
    """Kinship of the rows of one level with all rows before them and with each other."""
    first = weights.indptr[begin : end + 1].tolist()
    parents, shares = weights.indices.tolist(), weights.data.tolist()
    line = breeders.line[begin : end + 1].tolist()
    for row in range(begin, end):
        target = table[row, :begin]
        at = row - begin
        if at and line[at] == line[at - 1]:
            target[:] = table[row - 1, :begin]  # full sibs
            continue
        mine = range(first[at], first[at + 1])
        _weighted_sum([table[parents[i], :begin] for i in mine], [shares[i] for i in mine], target)
    table[:begin, begin:end] = table[begin:end, :begin].T
    inner = weights[begin:end]
    table[begin:end, begin:end] = inner @ table[:-1, begin:end]


def _weighted_sum(vectors: list[np.ndarray], shares: list[float], target: np.ndarray) -> None:
    if len(vectors) == 2 and shares[0] == shares[1]:
        np.add(vectors[0], vectors[1], out=target)
        target *= shares[0]
        return
    for number, (vector, share) in enumerate(zip(vectors, shares, strict=True)):
        if number:
            target += share * vector
        else:
            np.multiply(vector, share, out=target)
