"""Founders that are related, as markers have shown: a kinship matrix for the base of the pedigree."""

from collections.abc import Hashable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from breeding.genetics.errors import FounderKinshipError

if TYPE_CHECKING:
    from breeding.genetics.pedigree import Pedigree

TOLERANCE = 1e-9


@dataclass(frozen=True, eq=False)
class FounderKinship:
    """Kinship among some founders.

    Attributes
    ----------
    fish : (founders,) int
        Positions in the pedigree.
    matrix : (founders, founders) float
        Symmetric, positive semidefinite; self-kinship on the diagonal.
    largest_change
        By how much the repair of the given matrix changed its most changed entry; 0 if nothing was to mend.
    """

    fish: np.ndarray
    matrix: np.ndarray
    largest_change: float


def checked_founder_kinship(pedigree: "Pedigree", fish: np.ndarray, matrix: np.ndarray) -> FounderKinship:
    """Validate the kinship of founders and mend it if no population can have it.

    Parameters
    ----------
    fish : (founders,) int
        Positions in the pedigree.
    matrix : (founders, founders) float
        Kinship, self on the diagonal.

    Raises
    ------
    FounderKinshipError
        A fish is no founder or named twice, the matrix is not square or not symmetric, or a value is impossible.
    """
    names = [pedigree.ids[position] for position in fish]
    if matrix.shape != (len(fish), len(fish)):
        raise FounderKinshipError(f"{len(fish)} founders need a square of that size, not {matrix.shape}.", names)
    bred = [
        name
        for name, founder in zip(names, pedigree.founder_families[pedigree.family[fish]], strict=True)
        if not founder
    ]
    if bred:
        raise FounderKinshipError(
            f"{bred[0]} has a known parent, so its kinship follows from the pedigree. Give founders only.", bred
        )
    if len(set(fish.tolist())) < len(fish):
        raise FounderKinshipError("A founder is named twice in the kinship matrix. Give each once.", names)
    _refuse_impossible(matrix, pedigree.ploidy[fish], names)
    mended = nearest_kinship(matrix)
    change = float(np.abs(mended - matrix).max(initial=0.0))
    return FounderKinship(fish, mended, change)


def _refuse_impossible(matrix: np.ndarray, ploidy: np.ndarray, names: list[Hashable]) -> None:
    if not np.isfinite(matrix).all():
        raise FounderKinshipError("A founder kinship is not a number. Correct or remove it.", names)
    alone = np.diag(matrix)
    for a, b in np.argwhere(np.abs(matrix - matrix.T) > TOLERANCE)[:1]:
        raise FounderKinshipError(
            f"Kinship of {names[a]} with {names[b]} is {matrix[a, b]:g} one way and {matrix[b, a]:g} the other.",
            [names[a], names[b]],
        )
    for a in np.flatnonzero((alone < 1 / ploidy - TOLERANCE) | (alone > 1 + TOLERANCE))[:1]:
        raise FounderKinshipError(
            f"Kinship of {names[a]} with itself is {alone[a]:g}. It must lie from {1 / ploidy[a]:g} (not inbred) to 1.",
            [names[a]],
        )
    limit = np.sqrt(np.outer(alone, alone))
    for a, b in np.argwhere((matrix < -TOLERANCE) | (matrix > limit + TOLERANCE))[:1]:
        raise FounderKinshipError(
            f"Kinship of {names[a]} with {names[b]} is {matrix[a, b]:g}. It must lie from 0 to {limit[a, b]:g}.",
            [names[a], names[b]],
        )


def nearest_kinship(matrix: np.ndarray) -> np.ndarray:
    """Make a symmetric matrix positive semidefinite, keeping its diagonal.

    Negative eigenvalues are set to zero and rows and columns rescaled to the diagonal given; a matrix that is positive
    semidefinite already is returned as it is.

    Examples
    --------
    >>> import numpy as np
    >>> nearest_kinship(np.array([[0.5, 0.125], [0.125, 0.5]])).tolist()
    [[0.5, 0.125], [0.125, 0.5]]
    """
    values, vectors = np.linalg.eigh(matrix)
    if not len(values) or values[0] >= -1e-12 * max(values[-1], 1.0):
        return np.array(matrix, dtype=float)
    mended = (vectors * np.maximum(values, 0.0)) @ vectors.T
    scale = np.sqrt(np.diag(matrix) / np.diag(mended))
    return mended * np.outer(scale, scale)
