"""Inbreeding: the chance that two different genes of a fish at a locus are identical by descent."""

import numpy as np

from breeding.genetics.kinship import breeder_kinship
from breeding.genetics.pedigree import Pedigree
from breeding.genetics.polysomic import fish_terms, inbreeding_of


def inbreeding(pedigree: Pedigree) -> np.ndarray:
    """Inbreeding F of every fish.

    Returns
    -------
    (fish,) float
        From 0 to 1, in the order of ``pedigree.ids``. The expectation, where parentage is uncertain; 0 where a parent
        is unknown, which makes such a fish look better than it may be.

    References
    ----------
    Wright 1922, Coefficients of inbreeding and relationship, Am. Nat. 56: 330-338. For more than two gene copies,
    Hamilton and Kerr 2018.

    Examples
    --------
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> rows = [ParentRow("Ida", "Ada", "Bo"), ParentRow("Jon", "Ada", "Bo"), ParentRow("Kim", "Ida", "Jon")]
    >>> inbreeding(build_pedigree(rows)).tolist()
    [0.0, 0.0, 0.25, 0.0, 0.0]
    """
    families = pedigree.families
    alone = breeder_kinship(pedigree).line_alone[: len(families)]
    result: np.ndarray = inbreeding_of(alone, families.copies.sum(axis=1))[pedigree.family]
    related = pedigree.founder_kinship
    if related is not None:
        result[related.fish] = inbreeding_of(np.diag(related.matrix), pedigree.ploidy[related.fish])
    return result


def inbreeding_of_young(pedigree: Pedigree, parents: np.ndarray, kinship: np.ndarray) -> np.ndarray:
    """Inbreeding expected of the young of pairs, each parent giving half of its gene copies, (pairs,).

    In a diploid it is the kinship of the two; with more copies those of one gamete may be alike too.

    Parameters
    ----------
    parents : (pairs, 2) int
        Positions.
    kinship : (pairs, 2, 2) float
        Of the two parents with each other, self-kinship on the diagonal.
    """
    families, ploidy = pedigree.families, pedigree.ploidy[parents]
    copies = ploidy // 2
    reduction = families.double_reduction[pedigree.family[parents], [0, 1]]
    terms = fish_terms(copies, reduction, ploidy, np.ones(parents.shape, dtype=bool))
    alone = (
        terms.constant + terms.dam * kinship[:, 0, 0] + terms.sire * kinship[:, 1, 1] + terms.pair * kinship[:, 0, 1]
    )
    found: np.ndarray = inbreeding_of(alone, copies.sum(axis=1))
    return found
