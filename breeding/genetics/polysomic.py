"""Inheritance of any number of gene copies: what one gamete adds to the kinship of a fish with itself.

Every fish has ``v`` gene copies at a locus, ``τ`` of them from each gamete, and two copies in one gamete descend from
the same gene of the parent with probability ``λ`` (double reduction). Diploid inheritance is τ = 1, where λ has no
meaning and no effect.

References
----------
Hamilton and Kerr 2018, Computation of the inverse additive relationship matrix for autopolyploid and multiple-ploidy
populations, Theor. Appl. Genet. 131: 851-860.
"""

from typing import NamedTuple

import numpy as np

Numbers = np.ndarray


class SelfTerms(NamedTuple):
    """Self-kinship as ``constant + dam·K(d,d) + sire·K(s,s) + pair·K(d,s)``; all of one shape, or broadcastable."""

    constant: Numbers
    dam: Numbers
    sire: Numbers
    pair: Numbers


def founder_inbreeding(ploidy: Numbers | float, double_reduction: Numbers | float) -> Numbers:
    """Inbreeding of a founder from a population at rest.

    Parameters
    ----------
    ploidy
        Gene copies v of the founder.
    double_reduction
        The sum of λ over its two gametes.

    Returns
    -------
    array
        x/(v + x) with x = (λ + λ')(v/2 - 1), the value which an outbred population keeps.

    Examples
    --------
    >>> round(float(founder_inbreeding(4, 0.2)), 6) == round(1 / 21, 6)
    True
    """
    excess = np.asarray(double_reduction) * (np.asarray(ploidy) / 2 - 1)
    return excess / (np.asarray(ploidy) + excess)


def self_kinship(inbreeding: Numbers | float, ploidy: Numbers | float) -> Numbers:
    """Kinship of a fish with itself, (1 + (v-1)F)/v, from its inbreeding F and gene copies v."""
    return (1 + (np.asarray(ploidy) - 1) * inbreeding) / ploidy


def inbreeding_of(self_kinship: Numbers | float, ploidy: Numbers | float) -> Numbers:
    """Inbreeding F of a fish from its kinship with itself: (v·K - 1)/(v - 1)."""
    return (np.asarray(ploidy) * self_kinship - 1) / (np.asarray(ploidy) - 1)


def fish_terms(copies: Numbers, double_reduction: Numbers, parent_ploidy: Numbers, known: Numbers) -> SelfTerms:
    """Self-kinship terms of a fish for each of its possible parent pairs.

    Parameters
    ----------
    copies, double_reduction, parent_ploidy : (pairs, 2)
        τ, λ and the parent's v, dam first; v is ignored for an unknown parent, which is a founder of 2τ copies.
    known : (pairs, 2) bool
        Whether the parent is in the pedigree.

    Returns
    -------
    SelfTerms
        Each (pairs,).
    """
    total = copies.sum(axis=1)
    within = copies * (copies - 1) / (total * total)[:, None]
    ploidy = np.where(known, np.maximum(parent_ploidy, 2), np.maximum(2 * copies, 2))
    same = 1 - double_reduction
    slope = within * same * ploidy / (ploidy - 1)
    base = within * (double_reduction - same / (ploidy - 1))
    unknown = within * (double_reduction + same * founder_inbreeding(ploidy, 2 * double_reduction))
    constant = 1 / total + np.where(known, base, unknown).sum(axis=1)
    founder = self_kinship(founder_inbreeding(total, double_reduction.sum(axis=1)), total)
    constant = np.where(known.any(axis=1), constant, founder)
    slope = np.where(known, slope, 0.0)
    pair = 2 * copies[:, 0] * copies[:, 1] / (total * total)
    return SelfTerms(constant, slope[:, 0], slope[:, 1], pair)


def draw_terms(copies: Numbers, double_reduction: Numbers, known: Numbers) -> SelfTerms:
    """Terms of the kinship between two distinct fish that share one realised pair of parents.

    The same shapes as in :func:`fish_terms`. An unknown parent is one founder of 2τ copies shared by both fish.
    """
    share = copies / copies.sum(axis=1)[:, None]
    ploidy = np.maximum(2 * copies, 1)
    alone = self_kinship(founder_inbreeding(ploidy, 2 * double_reduction), ploidy)
    constant = np.where(known, 0.0, share * share * alone).sum(axis=1)
    slope = np.where(known, share * share, 0.0)
    return SelfTerms(constant, slope[:, 0], slope[:, 1], 2 * share[:, 0] * share[:, 1])
