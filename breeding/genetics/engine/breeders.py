"""The part of a pedigree that matters to everybody: the fish that are parents, in order of level.

A fish that never bred adds nothing to anybody's kinship but its own, so everything is computed among the breeders and
spread to the other fish by their family. One realised but unknown pair of parents ("draw") is a row here too.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from scipy import sparse

from breeding.genetics.engine.families import Families
from breeding.genetics.engine.order import levels_of, loop_among, spread
from breeding.genetics.errors import CycleError, InheritanceError
from breeding.genetics.polysomic import SelfTerms, draw_terms, fish_terms


@dataclass(frozen=True, eq=False)
class Breeders:
    """Rows are breeders and draws, parents before young; the row number ``rows`` stands for an unknown parent.

    Attributes
    ----------
    fish : (rows,) int
        Fish index of each row; a draw has a number beyond the last fish.
    row_of : (fish + 1,) int
        Row of each fish, ``rows`` where it is no breeder.
    line : (rows,) int
        Line of each row in ``weights`` and ``first``.
    level_ends : (levels + 1,) int
        Rows of level k are ``level_ends[k]:level_ends[k + 1]``.
    weights : (lines, rows) sparse
        Share of each breeder in the genes of a fish; a line per family, then one per draw.
    first : (lines + 1,) int
        Where the possible pairs of each line begin in ``dam``, ``sire`` and ``terms``.
    dam, sire : (pairs,) int
        Rows of the possible parents.
    share : (lines, 2) float
        Share of the dam and of the sire, whoever it is, in the genes of a fish of each line.
    terms : SelfTerms
        Each (pairs,), times the probability: they add up to the self-kinship of a fish of that line.
    """

    fish: np.ndarray
    row_of: np.ndarray
    line: np.ndarray
    level_ends: np.ndarray
    weights: sparse.csr_array
    first: np.ndarray
    dam: np.ndarray
    sire: np.ndarray
    share: np.ndarray
    terms: SelfTerms

    @property
    def rows(self) -> int:
        return len(self.fish)

    @property
    def certain(self) -> bool:
        """Whether every line has one possible pair of parents only."""
        return len(self.first) == len(self.dam) + 1

    @property
    def levels(self) -> list[tuple[int, int]]:
        """First row and end of each level."""
        return list(pairwise(self.level_ends.tolist()))

    @cached_property
    def steps(self) -> list[tuple[int, np.ndarray, sparse.csr_array]]:
        """For each level but the lowest: its first row, its parents (rows) and their shares in it."""
        found = []
        for start, stop in self.levels[1:]:
            shares = self.weights[self.line[start:stop]]
            parents, place = np.unique(shares.indices, return_inverse=True)
            compact = sparse.csr_array((shares.data, place, shares.indptr), shape=(stop - start, len(parents)))
            found.append((start, parents, compact))
        return found


@dataclass(frozen=True, eq=False)
class _Pairs:
    """Possible pairs of every line, families first, then draws, with parents still as fish."""

    first: np.ndarray
    line: np.ndarray
    dam: np.ndarray
    sire: np.ndarray
    probability: np.ndarray
    copies: np.ndarray
    double_reduction: np.ndarray


def compile_breeders(
    ids: Sequence[Hashable], family: np.ndarray, families: Families, kept: np.ndarray | None = None
) -> Breeders:
    """Find the breeders, order them and write down what each family inherits.

    Parameters
    ----------
    ids : (fish,)
        Names, for messages.
    family : (fish,) int
        Family of each fish.
    kept : (k,) int, optional
        Fish that get a row even if they never bred.

    Raises
    ------
    CycleError
        A fish is its own ancestor.
    InheritanceError
        A gamete has more copies than its parent.
    """
    pairs = _all_pairs(families)
    fish, line, row_of = _unordered_rows(family, families, kept)
    weights = _weights(_edges(families, pairs, row_of, len(fish)), (len(pairs.first) - 1, len(fish)))
    order, level = _order(ids, fish, line, weights)
    fish, line = fish[order], line[order]
    moved = np.empty(len(fish) + 1, dtype=int)
    moved[order] = np.arange(len(fish))
    moved[-1] = len(fish)
    row_of = moved[row_of]
    dam, sire = row_of[pairs.dam], row_of[pairs.sire]
    line_copies = pairs.copies[pairs.first[:-1]] if len(pairs.copies) == len(pairs.line) else pairs.copies
    return Breeders(
        fish=fish,
        row_of=row_of,
        line=line,
        level_ends=np.concatenate([[0], np.cumsum(np.bincount(level))]) if len(fish) else np.zeros(1, dtype=int),
        weights=sparse.csr_array((weights.data, moved[weights.indices], weights.indptr), shape=weights.shape),
        first=pairs.first,
        dam=dam,
        sire=sire,
        share=line_copies / line_copies.sum(axis=1)[:, None],
        terms=_terms(ids, family, families, pairs),
    )


def _all_pairs(families: Families) -> _Pairs:
    owner = families.owner()
    if not families.shared.any():
        copies, reduction = families.copies, families.double_reduction
        if not families.certain:
            copies, reduction = copies[owner], reduction[owner]
        return _Pairs(families.first, owner, families.dam, families.sire, families.probability, copies, reduction)
    shared = families.shared[owner]
    both = np.concatenate([np.arange(len(owner)), np.flatnonzero(shared)])
    draw_number = np.cumsum(families.shared) - 1
    line = np.concatenate([owner, len(families) + draw_number[owner[shared]]])
    return _Pairs(
        first=np.concatenate([[0], np.cumsum(np.bincount(line))]),
        line=line,
        dam=families.dam[both],
        sire=families.sire[both],
        probability=families.probability[both],
        copies=families.copies[owner[both]],
        double_reduction=families.double_reduction[owner[both]],
    )


def _unordered_rows(family: np.ndarray, families: Families, kept: np.ndarray | None) -> tuple[np.ndarray, ...]:
    unknown = len(family)
    is_row = np.zeros(unknown + 1, dtype=bool)
    is_row[families.dam] = True
    is_row[families.sire] = True
    if kept is not None:
        is_row[kept] = True
    is_row[unknown] = False
    known = np.flatnonzero(is_row)
    draws = np.arange(np.count_nonzero(families.shared))
    fish = np.concatenate([known, unknown + 1 + draws])
    line = np.concatenate([family[known], len(families) + draws])
    row_of = np.full(unknown + 1, len(fish))
    row_of[known] = np.arange(len(known))
    return fish, line, row_of


def _edges(families: Families, pairs: _Pairs, row_of: np.ndarray, rows: int) -> tuple[np.ndarray, ...]:
    """Who hands how large a share of genes to the fish of each line: (lines, parents, shares), known parents only."""
    shares = pairs.copies / pairs.copies.sum(axis=1)[:, None] * pairs.probability[:, None]
    parents = np.column_stack([row_of[pairs.dam], row_of[pairs.sire]])
    line = np.column_stack([pairs.line, pairs.line])
    used = (parents < rows) & (shares > 0)
    if not families.shared.any():
        return line[used], parents[used], shares[used]
    # A fish of a shared draw descends from the draw; only the draw descends from the possible parents.
    used &= ~np.append(families.shared, np.zeros(rows, dtype=bool))[line]
    draws = np.flatnonzero(families.shared)
    draw_rows = rows - len(draws) + np.arange(len(draws))
    return (
        np.concatenate([draws, line[used]]),
        np.concatenate([draw_rows, parents[used]]),
        np.concatenate([np.ones(len(draws)), shares[used]]),
    )


def _order(
    ids: Sequence[Hashable], fish: np.ndarray, line: np.ndarray, weights: sparse.csr_array
) -> tuple[np.ndarray, np.ndarray]:
    """Order of the rows by level, sibs side by side, and their sorted levels."""
    child = np.repeat(np.arange(len(fish)), np.diff(weights.indptr)[line])
    parent = weights.indices[spread(weights.indptr, line)]
    level = levels_of(child, parent, len(fish))
    stuck = level == len(fish)
    if stuck.any():
        inside = stuck[child] & stuck[parent]
        loop = loop_among(child[inside], parent[inside])
        raise CycleError([ids[fish[row]] for row in loop if fish[row] < len(ids)])
    order = np.lexsort((line, level))
    return order, level[order]


def _weights(edges: tuple[np.ndarray, ...], shape: tuple[int, int]) -> sparse.csr_array:
    lines, parents, shares = edges
    # The conversion adds up the shares of one parent over several possible pairs.
    return sparse.coo_array((shares, (lines, parents)), shape=shape).tocsr()


def _terms(ids: Sequence[Hashable], family: np.ndarray, families: Families, pairs: _Pairs) -> SelfTerms:
    parents = np.column_stack([pairs.dam, pairs.sire])
    known = parents < len(family)
    parent_ploidy = np.zeros(parents.shape, dtype=int)
    parent_ploidy[known] = families.copies.sum(axis=1)[family[parents[known]]]
    _refuse_large_gametes(ids, family, pairs, known & (pairs.copies > parent_ploidy))
    terms = fish_terms(pairs.copies, pairs.double_reduction, parent_ploidy, known)
    draws = pairs.line >= len(families)
    if draws.any():
        of_draws = draw_terms(pairs.copies, pairs.double_reduction, known)
        terms = SelfTerms(*(np.where(draws, one, other) for one, other in zip(of_draws, terms, strict=True)))
    return SelfTerms(*(term * pairs.probability for term in terms))


def _refuse_large_gametes(ids: Sequence[Hashable], family: np.ndarray, pairs: _Pairs, wrong: np.ndarray) -> None:
    if not wrong.any():
        return
    pair, side = np.argwhere(wrong)[0]  # of a family: those of draws come behind
    parent = ids[int((pairs.dam, pairs.sire)[side][pair])]
    young = ids[int(np.flatnonzero(family == pairs.line[pair])[0])]
    role = ("Dam", "Sire")[side]
    raise InheritanceError(
        f"{role} {parent} is said to give {pairs.copies[pair, side]} gene copies to {young}, more than it has. Correct "
        "the copies, or the ploidy of the parent.",
        [young, parent],
    )
