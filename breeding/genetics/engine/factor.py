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
from breeding.genetics.engine.order import spread
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
    line_alone, line_residual = np.full((2, breeders.weights.shape[0]), np.nan)
    for start, stop in breeders.levels:
        lines, place = np.unique(breeders.line[start:stop], return_inverse=True)
        genes, own, rest = _lines(breeders, lines, alone, _Factor(built.matrix(), residual, related))
        line_alone[lines], line_residual[lines] = own, rest
        alone[start:stop] = own[place]
        residual[start:stop] = rest[place]
        if not start and related is not None:
            alone[related.rows] = np.diag(related.matrix)
        built.append(genes[place] + sparse.eye_array(stop - start, rows, k=start, format="csr"))
    factor = _Factor(built.matrix(), residual, related)
    for lines in _parts(breeders, np.flatnonzero(np.isnan(line_alone)), built.entries):
        _, line_alone[lines], line_residual[lines] = _lines(breeders, lines, alone, factor)
    return BreederKinship(breeders, alone, line_alone, line_residual, residual, founders)


class _Related:
    """The founders that are related, as rows, and their kinship as part of M."""

    def __init__(self, breeders: Breeders, founders: FounderKinship) -> None:
        self.rows = breeders.row_of[founders.fish]
        self.matrix = founders.matrix
        where = np.repeat(self.rows, len(self.rows)), np.tile(self.rows, len(self.rows))
        self.block = sparse.csr_array((founders.matrix.ravel(), where), shape=(breeders.rows, breeders.rows))


class _Factor:
    """T and M as far as they are known: what is asked of them is K = T M Tᵀ, a few of its elements at a time."""

    def __init__(self, shares: sparse.csr_array, residual: np.ndarray, related: _Related | None) -> None:
        self.shares = shares
        self.block = None if related is None else related.block
        self.residual = residual
        if related is not None:
            self.residual = residual.copy()
            self.residual[related.rows] = 0

    def between(self, a: sparse.csr_array, b: sparse.csr_array) -> np.ndarray:
        """Kinship of the groups of one list with those of another, one by one; the lists hold lines of T, or sums."""
        scaled = sparse.csr_array((a.data * self.residual[a.indices], a.indices, a.indptr), shape=a.shape)
        through = scaled if self.block is None else scaled + a @ self.block
        found: np.ndarray = through.multiply(b).sum(axis=1)
        return found

    def within(self, a: sparse.csr_array) -> np.ndarray:
        """Kinship of each group with itself."""
        if self.block is not None:
            return self.between(a, a)
        found: np.ndarray = sparse.csr_array((a.data * a.data, a.indices, a.indptr), shape=a.shape) @ self.residual
        return found


def _lines(
    breeders: Breeders, lines: np.ndarray, alone: np.ndarray, factor: _Factor
) -> tuple[sparse.csr_array, np.ndarray, np.ndarray]:
    """Of each line: the genes from each ancestor, self-kinship, and what the parents do not explain of it."""

    def pair_kinship(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return factor.between(factor.shares[a], factor.shares[b])

    genes = breeders.weights[lines] @ factor.shares
    together = None if breeders.certain else _pairs_together(breeders, lines, alone, (genes, factor))
    own = self_kinship_of(breeders, lines, alone, pair_kinship, together)
    return genes, own, own - factor.within(genes)


def _pairs_together(
    breeders: Breeders, lines: np.ndarray, alone: np.ndarray, known: tuple[sparse.csr_array, _Factor]
) -> np.ndarray:
    """What all pairs of a line add to its self-kinship by the kinship of their parents, at the price of one pair.

    Where dam d is certain: K(d, fish) = w·K(d, d) + Σ pairs p·(1 - w)·K(d, sire), w being the share of the dam; the
    sum is what is wanted, twice w of it. Not a number for lines of a single pair, or of pairs without a common parent.
    """
    genes, factor = known
    parent, share = _common_parent(breeders, lines)
    found = np.full(len(lines), np.nan)
    at = np.flatnonzero((parent < breeders.rows) & (breeders.first[lines + 1] - breeders.first[lines] > 1))
    parent, share = parent[at], share[at]
    with_fish = factor.between(factor.shares[parent], genes if len(at) == len(lines) else genes[at])
    found[at] = 2 * share * (with_fish - share * alone[parent])
    return found


def _common_parent(breeders: Breeders, lines: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The parent that all pairs of a line have in common, ``rows`` if there is none, and its share; (n,) each."""
    parent, share = np.full(len(lines), breeders.rows), np.zeros(len(lines))
    pairs = spread(breeders.first, lines)
    counts = breeders.first[lines + 1] - breeders.first[lines]
    start = np.cumsum(counts) - counts
    for side, of_all in enumerate((breeders.sire, breeders.dam)):
        least, most = (reach.reduceat(of_all[pairs], start) for reach in (np.minimum, np.maximum))
        sure = (least == most) & (least < breeders.rows)
        parent[sure], share[sure] = least[sure], breeders.share[lines[sure], 1 - side]
    return parent, share


def _parts(breeders: Breeders, lines: np.ndarray, entries: int) -> list[np.ndarray]:
    """The lines in parts small enough for the memory."""
    step = max(1, AT_ONCE * max(1, breeders.rows) // max(1, 2 * entries))
    return [lines[start:stop] for start, stop in pairwise([*range(0, len(lines), step), len(lines)])]


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
