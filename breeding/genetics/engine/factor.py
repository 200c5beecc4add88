"""Kinship among breeders without the table: K = T M Tᵀ, T sparse.

A line of T holds the share of genes that a fish has from each of its ancestors (itself: 1); M holds what is not
explained by the parents, self-kinship less the kinship of two such sibs.

References
----------
Henderson 1976, A simple method for computing the inverse of a numerator relationship matrix, Biometrics 32: 69-83.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy import sparse

from breeding.genetics.engine.alone import self_kinship_of
from breeding.genetics.engine.breeders import Breeders
from breeding.genetics.founder_kinship import FounderKinship

# Ancestors of pairs held at once while pairs are multiplied: bounds the memory, not the result.
AT_ONCE = 2_000_000


@dataclass(frozen=True, eq=False)
class KinshipFactor:
    """Kinship among breeders.

    Attributes
    ----------
    shares : (rows + 1, rows) sparse
        T; the last line, of the unknown parent, is empty.
    residual : (rows, rows) sparse
        M: diagonal, but for founders that are related.
    alone : (rows + 1,) float
        Self-kinship.
    """

    shares: sparse.csr_array
    residual: sparse.csr_array
    alone: np.ndarray

    def pairs(self, a: np.ndarray, b: np.ndarray) -> np.ndarray:
        """Kinship of row ``a[i]`` with row ``b[i]``, (n,)."""
        result = np.zeros(len(a))
        for part in _parts(np.diff(self.shares.indptr), a, b):
            result[part] = (self.shares[a[part]] @ self.residual).multiply(self.shares[b[part]]).sum(axis=1)
        return result

    def times(self, weights: np.ndarray) -> np.ndarray:
        """Kinship of each breeder with a weighted group of breeders, (rows,)."""
        shares = self.shares[:-1]
        return shares @ (self.residual @ (shares.T @ weights))

    def among(self, left: sparse.csr_array, right: sparse.csr_array) -> np.ndarray:
        """Kinship between groups: ``left`` (n, rows) and ``right`` (m, rows) hold their weights; (n, m)."""
        shares = self.shares[:-1]
        return ((left @ shares) @ self.residual @ (right @ shares).T).toarray()

    def within(self, weights: sparse.csr_array) -> np.ndarray:
        """Kinship of each weighted group with itself, (n,)."""
        result = np.empty(weights.shape[0])
        step = max(1, AT_ONCE // max(1, 2 * self.shares.nnz // max(1, self.shares.shape[0])))
        for start in range(0, len(result), step):
            genes = weights[start : start + step] @ self.shares[:-1]
            result[start : start + step] = (genes @ self.residual).multiply(genes).sum(axis=1)
        return result


def _parts(sizes: np.ndarray, a: np.ndarray, b: np.ndarray) -> list[slice]:
    cost = np.cumsum(sizes[a] + sizes[b])
    bounds = np.searchsorted(cost, np.arange(AT_ONCE, (cost[-1] if len(cost) else 0) + AT_ONCE, AT_ONCE), side="right")
    edges = np.unique(np.concatenate([[0], bounds, [len(a)]]))
    return [slice(start, stop) for start, stop in pairwise(edges.tolist())]


def ancestors_at_most(breeders: Breeders) -> int:
    """An upper bound of the entries of T, found without building it."""
    bound = np.ones(breeders.rows)
    descent = breeders.weights[breeders.line]
    descent.data = np.ones_like(descent.data)
    ends = breeders.level_ends.tolist()
    for start, stop in pairwise(ends[1:]):
        bound[start:stop] += np.minimum(descent[start:stop] @ bound, start)
    return int(bound.sum())


def kinship_factor(breeders: Breeders, founders: FounderKinship | None = None) -> KinshipFactor:
    """Find T and M level by level."""
    rows = breeders.rows
    alone = np.zeros(rows + 1)
    residual = np.zeros(rows)
    built = _Growing(rows)
    related = np.zeros(rows, dtype=bool)
    block = None
    if founders is not None:
        at = breeders.row_of[founders.fish]
        related[at] = True
        where = np.repeat(at, len(at)), np.tile(at, len(at))
        block = sparse.csr_array((founders.matrix.ravel(), where), shape=(rows, rows))
    ends = breeders.level_ends.tolist()
    for start, stop in pairwise(ends):
        so_far = KinshipFactor(built.matrix(rows + 1), _residual(residual, block), alone)
        lines, place = np.unique(breeders.line[start:stop], return_inverse=True)
        own = self_kinship_of(breeders, lines, alone, so_far.pairs)[place]
        genes = breeders.weights[lines] @ so_far.shares[:-1]
        explained = (genes @ so_far.residual).multiply(genes).sum(axis=1)[place]
        alone[start:stop] = own
        residual[start:stop] = np.where(related[start:stop], 0.0, own - explained)
        if not start and founders is not None:
            alone[at] = np.diag(founders.matrix)
        built.append(genes[place] + sparse.eye_array(stop - start, rows, k=start, format="csr"))
    return KinshipFactor(built.matrix(rows + 1), _residual(residual, block), alone)


def _residual(diagonal: np.ndarray, block: sparse.csr_array | None) -> sparse.csr_array:
    matrix = sparse.diags_array(diagonal, format="csr")
    return matrix if block is None else (matrix + block).tocsr()


class _Growing:
    """A sparse matrix that grows by lines; lines not yet written are empty."""

    def __init__(self, columns: int) -> None:
        self.columns = columns
        self.first = [np.zeros(1, dtype=np.int64)]
        self.indices: list[np.ndarray] = []
        self.data: list[np.ndarray] = []
        self.lines = self.entries = 0

    def append(self, lines: sparse.csr_array) -> None:
        self.first.append(lines.indptr[1:] + self.entries)
        self.indices.append(lines.indices)
        self.data.append(lines.data)
        self.lines += lines.shape[0]
        self.entries += lines.nnz

    def matrix(self, lines: int) -> sparse.csr_array:
        self.first, self.indices, self.data = (
            [np.concatenate(part)] if part else [] for part in (self.first, self.indices, self.data)
        )
        first = np.concatenate([self.first[0], np.full(lines - self.lines, self.entries)])
        indices = self.indices[0] if self.indices else np.zeros(0, dtype=np.int32)
        data = self.data[0] if self.data else np.zeros(0)
        kind = np.int32 if self.entries < 2**31 - 1 else np.int64
        return sparse.csr_array(
            (data, indices.astype(kind, copy=False), first.astype(kind)), shape=(lines, self.columns)
        )
