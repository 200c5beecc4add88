"""Kinship among breeders level by level, in a table of those that are still to become parents.

References
----------
Emik and Terrill 1949, Systematic procedures for calculating inbreeding coefficients, J. Hered. 40: 51-55.
"""

from dataclasses import dataclass

import numpy as np
from scipy import sparse

from breeding.genetics.engine.alone import self_kinship_of
from breeding.genetics.engine.breeders import Breeders
from breeding.genetics.engine.result import BreederKinship
from breeding.genetics.founder_kinship import FounderKinship

# Breeders taken in before they are copied into their columns: enough for whole cache lines, few enough for the cache.
BLOCK = 64


@dataclass(frozen=True, eq=False)
class Needs:
    """When breeders are needed, and what a rolling table would cost.

    Attributes
    ----------
    ready : (lines,) int
        Level at which all parents of a line are known.
    last : (rows,) int
        Last level at which a breeder is a parent.
    size
        Most breeders needed at once.
    cost
        Kinships written in all.
    """

    ready: np.ndarray
    last: np.ndarray
    size: int
    cost: float


def needs_of(breeders: Breeders) -> Needs:
    """Find out when each breeder is needed."""
    rows, lines = breeders.rows, breeders.weights.shape[0]
    level = np.append(np.repeat(np.arange(len(breeders.levels)), np.diff(breeders.level_ends)), -1)
    pair_line = np.repeat(np.arange(lines), np.diff(breeders.first))
    share_line = np.repeat(np.arange(lines), np.diff(breeders.weights.indptr))
    ready = np.zeros(lines, dtype=int)
    parents = (pair_line, breeders.dam), (pair_line, breeders.sire), (share_line, breeders.weights.indices)
    for line, parent in parents:
        np.maximum.at(ready, line, level[parent] + 1)
    last = np.full(rows + 1, -1)
    for line, parent in parents:
        np.maximum.at(last, parent, ready[line])
    last = last[:-1]
    used = last > level[:-1]
    steps = len(breeders.levels) + 1
    born = np.bincount(level[:-1][used] + 1, minlength=steps + 1)
    gone = np.bincount(last[used] + 1, minlength=steps + 1)
    held = np.cumsum(born - gone)[:steps]
    coming = np.append(born[1:steps], 0)
    return Needs(ready, last, int((held + coming).max(initial=0)), float((held * coming + coming**2).sum()))


class _Table:
    """A square of kinships whose rows come and go; ``slot`` says where a breeder sits, the last slot is empty."""

    def __init__(self, rows: int, size: int) -> None:
        self.square = np.zeros((size, size))
        self.slot = np.full(rows + 1, size - 1)
        self.held = np.zeros(0, dtype=int)

    def between(self, a: np.ndarray, b: np.ndarray) -> np.ndarray:
        found: np.ndarray = self.square[self.slot[a], self.slot[b]]
        return found

    def within(self, weights: sparse.csr_array) -> np.ndarray:
        """Kinship of each weighted group with itself, (n,)."""
        counts = np.diff(weights.indptr)
        total = np.zeros(len(counts))
        most = range(counts.max(initial=0))
        for mine, other in ((mine, other) for mine in most for other in most):
            groups = np.flatnonzero(counts > max(mine, other))
            a, b = weights.indptr[groups] + mine, weights.indptr[groups] + other
            kinship = self.between(weights.indices[a], weights.indices[b])
            total[groups] += weights.data[a] * weights.data[b] * kinship
        return total

    def make_room(self, rows: int, wanted: np.ndarray) -> None:
        """Forget breeders that are not wanted, (rows,) bool, if there is no room for as many more."""
        if len(self.held) + rows < len(self.square):
            return
        stay = np.flatnonzero(wanted[self.held])
        for new, old in enumerate(stay.tolist()):  # upwards, in place: a second table would not fit
            self.square[new, : len(stay)] = self.square[old, stay]
        self.slot[self.held] = len(self.square) - 1
        self.held = self.held[stay]
        self.slot[self.held] = np.arange(len(stay))

    def add(self, rows: np.ndarray, breeders: Breeders, alone: np.ndarray) -> None:
        """Take in breeders of one level, sibs side by side; ``alone`` is their self-kinship, (rows,)."""
        for start in range(0, len(rows), BLOCK):
            self._add_block(rows[start : start + BLOCK], breeders, alone[start : start + BLOCK])

    def _add_block(self, rows: np.ndarray, breeders: Breeders, alone: np.ndarray) -> None:
        before, after = len(self.held), len(self.held) + len(rows)
        lines = breeders.line[rows]
        parents = breeders.weights[lines]
        first, shares = parents.indptr.tolist(), parents.data.tolist()
        slots = self.slot[parents.indices].tolist()
        sib = np.append(False, lines[1:] == lines[:-1]).tolist()
        for row in range(len(rows)):
            target = self.square[before + row, :before]
            if sib[row]:
                target[:] = self.square[before + row - 1, :before]
            else:
                mine = slice(first[row], first[row + 1])
                _weighted_sum([self.square[slot, :before] for slot in slots[mine]], shares[mine], target)
        self.square[:before, before:after] = self.square[before:after, :before].T
        among = np.zeros((len(rows), len(rows)))
        if parents.nnz:  # founders have no parents, and all other breeders have at least one
            of_parents = self.square[self.slot[parents.indices], before:after] * parents.data[:, None]
            among = np.add.reduceat(of_parents, parents.indptr[:-1])
        np.fill_diagonal(among, alone)
        self.square[before:after, before:after] = among
        self.held = np.concatenate([self.held, rows])
        self.slot[rows] = np.arange(before, after)


def _weighted_sum(vectors: list[np.ndarray], shares: list[float], target: np.ndarray) -> None:
    if len(vectors) == 2 and shares[0] == shares[1]:
        np.add(vectors[0], vectors[1], out=target)
        target *= shares[0]
        return
    target[:] = 0
    for vector, share in zip(vectors, shares, strict=True):
        target += share * vector


def rolling_kinship(breeders: Breeders, needs: Needs, founders: FounderKinship | None = None) -> BreederKinship:
    """Kinship by levels; the memory goes with the square of ``needs.size``."""
    lines = breeders.weights.shape[0]
    alone = np.zeros(breeders.rows + 1)
    line_alone, line_residual = np.zeros(lines), np.zeros(lines)
    # A quarter more than needed at once, so that the table is not tidied at every level.
    table = _Table(breeders.rows, needs.size + needs.size // 4 + 1)
    by_level = np.argsort(needs.ready, kind="stable")
    bounds = np.searchsorted(needs.ready[by_level], np.arange(len(breeders.levels) + 2)).tolist()
    for level in range(len(breeders.levels) + 1):
        now = by_level[bounds[level] : bounds[level + 1]]
        line_alone[now] = self_kinship_of(breeders, now, alone, table.between)
        line_residual[now] = line_alone[now] - table.within(breeders.weights[now])
        if level == len(breeders.levels):
            break
        start, stop = breeders.levels[level]
        alone[start:stop] = line_alone[breeders.line[start:stop]]
        new = start + np.flatnonzero(needs.last[start:stop] > level)
        table.make_room(len(new), needs.last >= level)
        table.add(new, breeders, alone[new])
        if not level and founders is not None:
            _relate(breeders, table, founders, alone)
    return BreederKinship(breeders, alone, line_alone, line_residual, line_residual[breeders.line], founders)


def _relate(breeders: Breeders, table: _Table, founders: FounderKinship, alone: np.ndarray) -> None:
    rows = breeders.row_of[founders.fish]
    alone[rows] = np.diag(founders.matrix)
    held = np.flatnonzero(table.slot[rows] < len(table.square) - 1)
    slots = table.slot[rows[held]]
    table.square[np.ix_(slots, slots)] = founders.matrix[np.ix_(held, held)]
