"""What any set of crosses is worth, made or planned, pooled milt by its shares: no limits, no search."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass

import numpy as np

from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import Pedigree
from breeding.genetics.polysomic import fish_terms, inbreeding_of


@dataclass(frozen=True, slots=True)
class SetFigures:
    """The young of a set of crosses, families of one size.

    Attributes
    ----------
    dams, sires : how many take part.
    group_coancestry : cᵀKc of the parents, self-kinship included: the mean kinship of the young of large families.
    mean_inbreeding : expected F of the young at their ploidy.
    """

    dams: int
    sires: int
    group_coancestry: float
    mean_inbreeding: float

    @property
    def gene_diversity(self) -> float:
        """Return 1 less the group coancestry."""
        return 1 - self.group_coancestry


def figures_of_set(pedigree: Pedigree, weights: Mapping[tuple[Hashable, Hashable], float]) -> SetFigures:
    """Return the figures of crosses (dam, sire) with their weights, which are taken to sum to 1.

    Raises
    ------
    ValueError
        No cross, or a weight that is not above 0.

    Examples
    --------
    Two unrelated pairs of founders: θ = 1/8 (Falconer & Mackay 1996: 1/(8·dams) + 1/(8·sires)), their young F = 0.

    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> founders = build_pedigree([ParentRow(one, None, None) for one in ("F1", "F2", "M1", "M2")])
    >>> figures_of_set(founders, {("F1", "M1"): 0.5, ("F2", "M2"): 0.5}).group_coancestry
    0.125
    """
    if not weights or min(weights.values()) <= 0:
        raise ValueError("A set of crosses needs one at least, each with a weight above 0.")
    shares = np.array(list(weights.values()))
    shares = shares / shares.sum()
    ids = list(dict.fromkeys(fish for pair in weights for fish in pair))
    place = {fish: number for number, fish in enumerate(ids)}
    pairs = np.array([(place[dam], place[sire]) for dam, sire in weights])
    kinship = kinship_among(pedigree, ids)
    c = np.zeros(len(ids))
    for side in (0, 1):
        np.add.at(c, pairs[:, side], shares / 2)
    dams, sires = (len(set(pairs[:, side].tolist())) for side in (0, 1))
    young = _inbreeding(pedigree, pedigree.positions(ids)[pairs], kinship, pairs)
    return SetFigures(dams, sires, float(c @ kinship @ c), float(shares @ young))


def _inbreeding(pedigree: Pedigree, parents: np.ndarray, kinship: np.ndarray, pairs: np.ndarray) -> np.ndarray:
    """Return F of the young of each pair; `parents` (pairs, 2) in the pedigree, `pairs` (pairs, 2) in `kinship`."""
    ploidy = pedigree.ploidy[parents]
    reduction = pedigree.families.double_reduction[pedigree.family[parents], [0, 1]]
    terms = fish_terms(ploidy // 2, reduction, ploidy, np.ones(parents.shape, dtype=bool))
    own, (dams, sires) = np.diagonal(kinship), pairs.T
    self_kinship = terms.constant + terms.dam * own[dams] + terms.sire * own[sires] + terms.pair * kinship[dams, sires]
    return inbreeding_of(self_kinship, ploidy.sum(axis=1) // 2)
