"""Many groups of one pedigree at once, such as those living at the end of each year."""

from collections.abc import Hashable, Sequence

import numpy as np

from breeding.genetics.errors import PedigreeError
from breeding.genetics.kinship import breeder_kinship
from breeding.genetics.pedigree import Pedigree


def coancestry_of_groups(
    pedigree: Pedigree, names: Sequence[Hashable], counts: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Mean kinship of each of several groups, as :func:`breeding.genetics.diversity.group_kinship` of one.

    Parameters
    ----------
    names
        Fish, or one name for sibs that never bred, each once.
    counts : (names, groups) float
        How many fish of each name a group holds; a fish that bred counts 0 or 1.

    Returns
    -------
    with_self, without_self : (groups,) float
        Mean over all ordered pairs, and over pairs of distinct fish; not a number where a group has no such pair.

    Raises
    ------
    PedigreeError
        A breeder is counted several times, or a count is below zero.

    Examples
    --------
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> pedigree = build_pedigree([ParentRow("batch 7", "Ada", "Bo")])
    >>> coancestry_of_groups(pedigree, ["Ada", "Bo", "batch 7"], np.array([[1, 0], [1, 0], [0, 1000]]))[0].tolist()
    [0.25, 0.25025]
    """
    fish, breeders, kinship = pedigree.positions(names), pedigree.breeders, breeder_kinship(pedigree)
    rows = breeders.row_of[fish]
    bred = rows < breeders.rows
    if (counts < 0).any() or (counts[bred] > 1).any():
        raise PedigreeError("A fish that bred counts 0 or 1 in a group, other names 0 or more.")
    lines = breeders.weights.shape[0]
    families = np.zeros((lines, counts.shape[1]))
    np.add.at(families, pedigree.family[fish[~bred]], counts[~bred])
    weights = breeders.weights.T @ families
    np.add.at(weights, rows[bred], counts[bred])
    total = counts.sum(axis=0)
    alone = kinship.line_alone @ families + kinship.alone[rows[bred]] @ counts[bred]
    pairs = np.einsum("rg,rg->g", weights, kinship.times(weights)) + kinship.line_residual @ families
    with np.errstate(divide="ignore", invalid="ignore"):
        with_self = np.where(total > 0, pairs / total**2, np.nan)
        without_self = np.where(total > 1, (pairs - alone) / (total * (total - 1)), np.nan)
    return with_self, without_self
