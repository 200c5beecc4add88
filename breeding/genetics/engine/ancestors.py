"""Ancestors that explain the genes of a group, each by what the greater ones have left unexplained."""

import numpy as np
from scipy import sparse

from breeding.genetics.engine.breeders import Breeders

# A contribution below this is rounding.
NOTHING = 1e-14


def marginal_contributions(breeders: Breeders, weights: np.ndarray) -> np.ndarray:
    """Marginal contribution of every breeder, greatest first taken, until nothing is left to explain.

    Parameters
    ----------
    weights : (rows,) float
        Weight of the breeders in the group.

    Returns
    -------
    (rows,) float
        0 for breeders that explain nothing more.
    """
    found = np.zeros(breeders.rows)
    taken = np.zeros(breeders.rows, dtype=bool)
    kin = _Kin(breeders)
    while True:
        marginal = _marginal(breeders, weights, taken)
        order = np.argsort(-marginal, kind="stable")
        order = order[marginal[order] > NOTHING]
        if not len(order):
            return found
        # Only ancestors and descendants of one that is taken change, and they can only fall: until one of these is the
        # next in order, the order stands.
        changed = np.zeros(breeders.rows, dtype=bool)
        for row in order.tolist():
            if changed[row]:
                break
            found[row] = marginal[row]
            taken[row] = True
            kin.mark(row, changed)


def _marginal(breeders: Breeders, weights: np.ndarray, taken: np.ndarray) -> np.ndarray:
    through = weights.copy()
    for start, parents, shares in reversed(breeders.steps):
        block = slice(start, start + shares.shape[0])
        through[parents] += shares.T @ np.where(taken[block], 0.0, through[block])
    explained = np.zeros(breeders.rows)
    for start, parents, shares in breeders.steps:
        explained[start : start + shares.shape[0]] = shares @ np.where(taken[parents], 1.0, explained[parents])
    left: np.ndarray = np.where(taken, 0.0, through * (1 - explained))
    return left


class _Kin:
    """Ancestors and descendants of breeders."""

    def __init__(self, breeders: Breeders) -> None:
        up = breeders.weights[breeders.line]
        self.ways = [self._lists(up), self._lists(up.T.tocsr())]

    @staticmethod
    def _lists(matrix: sparse.csr_array) -> tuple[list[int], list[int]]:
        return matrix.indptr.tolist(), matrix.indices.tolist()

    def mark(self, row: int, changed: np.ndarray) -> None:
        for first, others in self.ways:
            waiting, met = [row], {row}
            while waiting:
                one = waiting.pop()
                new = set(others[first[one] : first[one + 1]]) - met
                met |= new
                waiting.extend(new)
            changed[list(met)] = True
