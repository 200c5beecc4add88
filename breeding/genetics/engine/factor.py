"""Kinship among breeders of a shallow pedigree through their ancestors: K = T M Tᵀ with T sparse.

References
----------
Henderson 1976, A simple method for computing the inverse of a numerator relationship matrix, Biometrics 32: 69-83.
"""

from itertools import pairwise

import numpy as np
from scipy import sparse

from breeding.genetics.engine.alone import self_kinship_of
from breeding.genetics.engine.breeders import Breeders
from breeding.genetics.engine.result import BreederKinship
from breeding.genetics.founder_kinship import FounderKinship

# Ancestors held at once while pairs are multiplied: bounds the memory, not the result.
AT_ONCE = 2_000_000


def ancestors_at_most(breeders: Breeders) -> float:
    """An upper bound of the entries of T, found without building it."""
    bound = np.ones(breeders.rows)
    for start, parents, shares in breeders.steps:
        of_parents = np.add.reduceat(bound[parents][shares.indices], shares.indptr[:-1])
        bound[start : start + shares.shape[0]] += np.minimum(of_parents, start)
    return float(bound.sum())


def factor_kinship(breeders: Breeders, founders: FounderKinship | None = None) -> BreederKinship:
    """Find T and M level by level, then the kinship of the parents of every family."""
    rows = breeders.rows
    alone, residual = np.zeros(rows + 1), np.zeros(rows)
    related = None if founders is None else _Related(breeders, founders)
    built = _Growing(rows)
    for start, stop in breeders.levels:
        lines, place = np.unique(breeders.line[start:stop], return_inverse=True)
        genes, own, rest = _lines(breeders, lines, alone, (built.matrix(), _middle(residual, related)))
        alone[start:stop] = own[place]
        residual[start:stop] = rest[place]
        if not start and related is not None:
            alone[related.rows] = np.diag(related.matrix)
        built.append(genes[place] + sparse.eye_array(stop - start, rows, k=start, format="csr"))
    shares = built.matrix(), _middle(residual, related)
    line_alone, line_residual = np.zeros((2, breeders.weights.shape[0]))
    for lines in _parts(breeders, built.entries):
        _, line_alone[lines], line_residual[lines] = _lines(breeders, lines, alone, shares)
    return BreederKinship(breeders, alone, line_alone, line_residual, residual, founders)


class _Related:
    """The founders that are related, as rows, and their kinship as part of M."""

    def __init__(self, breeders: Breeders, founders: FounderKinship) -> None:
        self.rows = breeders.row_of[founders.fish]
        self.matrix = founders.matrix
        where = np.repeat(self.rows, len(self.rows)), np.tile(self.rows, len(self.rows))
        self.block = sparse.csr_array((founders.matrix.ravel(), where), shape=(breeders.rows, breeders.rows))


def _middle(residual: np.ndarray, related: _Related | None) -> sparse.csr_array:
    if related is None:
        return sparse.diags_array(residual, format="csr")
    unrelated = residual.copy()
    unrelated[related.rows] = 0
    return (sparse.diags_array(unrelated, format="csr") + related.block).tocsr()


def _lines(
    breeders: Breeders, lines: np.ndarray, alone: np.ndarray, factor: tuple[sparse.csr_array, sparse.csr_array]
) -> tuple[sparse.csr_array, np.ndarray, np.ndarray]:
    """Of each line: the genes from each ancestor, self-kinship, and what the parents do not explain of it."""
    shares, middle = factor

    def pair_kinship(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        found: np.ndarray = (shares[a] @ middle).multiply(shares[b]).sum(axis=1)
        return found

    own = self_kinship_of(breeders, lines, alone, pair_kinship)
    genes = breeders.weights[lines] @ shares
    return genes, own, own - (genes @ middle).multiply(genes).sum(axis=1)


def _parts(breeders: Breeders, entries: int) -> list[np.ndarray]:
    """All lines, in parts small enough for the memory."""
    lines = breeders.weights.shape[0]
    step = max(1, AT_ONCE * max(1, breeders.rows) // max(1, 2 * entries))
    return [np.arange(start, stop) for start, stop in pairwise([*range(0, lines, step), lines])]


class _Growing:
    """T while it grows by levels; lines not yet written are empty."""

    def __init__(self, rows: int) -> None:
        self.rows = rows
        self.first = np.zeros(1, dtype=np.int64)
        self.indices = np.zeros(0, dtype=np.int32)
        self.data = np.zeros(0)

    @property
    def entries(self) -> int:
        return len(self.data)

    def append(self, lines: sparse.csr_array) -> None:
        self.first = np.concatenate([self.first, lines.indptr[1:] + np.int64(self.entries)])
        self.indices = np.concatenate([self.indices, lines.indices])
        self.data = np.concatenate([self.data, lines.data])

    def matrix(self) -> sparse.csr_array:
        first = np.concatenate([self.first, np.full(self.rows + 1 - len(self.first), self.entries)])
        kind = np.int32 if self.entries < 2**31 - 1 else np.int64
        return sparse.csr_array(
            (self.data, self.indices.astype(kind, copy=False), first.astype(kind)), shape=(self.rows, self.rows)
        )
