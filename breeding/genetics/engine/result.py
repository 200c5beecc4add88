"""What is known once kinship among the breeders has been computed, whichever way; and sums over it."""

from dataclasses import dataclass

import numpy as np
from scipy import sparse

from breeding.genetics.engine.breeders import Breeders
from breeding.genetics.founder_kinship import FounderKinship

# Numbers held at once while kinship is written out: bounds the memory, not the result.
AT_ONCE = 16_000_000


@dataclass(frozen=True, eq=False)
class BreederKinship:
    """Kinship among breeders, K = T M Tᵀ, told by what is needed to sum over it.

    T holds the share of genes that each breeder has from each of its ancestors, itself included; M what its parents do
    not explain. K·x takes one pass up and one down the pedigree.

    Attributes
    ----------
    breeders : Breeders
    alone : (rows + 1,) float
        Self-kinship of the breeders; 0 for the unknown parent.
    line_alone, line_residual : (lines,) float
        Self-kinship of a fish of each line, and the same less the kinship of two such sibs.
    residual : (rows,) float
        Diagonal of M.
    founders : FounderKinship or None
        The rest of M.

    References
    ----------
    Colleau 2002, An indirect approach to the extensive calculation of relationship coefficients, Genet. Sel. Evol. 34:
    409-421.
    """

    breeders: Breeders
    alone: np.ndarray
    line_alone: np.ndarray
    line_residual: np.ndarray
    residual: np.ndarray
    founders: FounderKinship | None

    def times(self, weights: np.ndarray) -> np.ndarray:
        """Kinship of each breeder with weighted groups of breeders: (rows,) or (rows, groups), as ``weights``."""
        through = passed_on(self.breeders, weights)
        value = (through.T * self.residual).T
        if self.founders is not None:
            at = self.breeders.row_of[self.founders.fish]
            value[at] = self.founders.matrix @ through[at]
        for start, parents, shares in self.breeders.steps:
            value[start : start + shares.shape[0]] += shares @ value[parents]
        return value

    def among(self, left: sparse.csr_array, right: sparse.csr_array) -> np.ndarray:
        """Kinship between groups: ``left`` (n, rows) and ``right`` (m, rows) hold their weights; (n, m)."""
        result = np.empty((left.shape[0], right.shape[0]))
        step = max(1, AT_ONCE // max(1, self.breeders.rows))
        for start in range(0, right.shape[0], step):
            result[:, start : start + step] = left @ self.times(right[start : start + step].T.toarray())
        return result


def passed_on(breeders: Breeders, weights: np.ndarray) -> np.ndarray:
    """Genes that went through each breeder on their way to weighted groups of breeders, Tᵀ·x.

    Parameters
    ----------
    weights : (rows,) or (rows, groups) float

    Returns
    -------
    float
        The same shape; the groups' own weight included.
    """
    through = weights.astype(float)
    for start, parents, shares in reversed(breeders.steps):
        through[parents] += shares.T @ through[start : start + shares.shape[0]]
    return through
