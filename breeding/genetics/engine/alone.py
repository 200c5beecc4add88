"""Kinship of a fish with itself, from that of its possible parents."""

from collections.abc import Callable

import numpy as np

from breeding.genetics.engine.breeders import Breeders
from breeding.genetics.engine.order import spread

PairKinship = Callable[[np.ndarray, np.ndarray], np.ndarray]


def self_kinship_of(
    breeders: Breeders,
    lines: np.ndarray,
    alone: np.ndarray,
    pair_kinship: PairKinship,
    together: np.ndarray | None = None,
) -> np.ndarray:
    """Self-kinship of a fish of each line; of a draw, the kinship of two fish that share it.

    Parameters
    ----------
    lines : (n,) int
        Families, or families + draws.
    alone : (rows + 1,) float
        Self-kinship of the breeders, 0 for the unknown parent; those above the lines must be known.
    pair_kinship
        Kinship of two arrays of rows.
    together : (n,) float, optional
        What all pairs of a line add by the kinship of their parents, where it is known already; else not a number.

    Returns
    -------
    (n,) float
    """
    terms = breeders.terms
    places = lines if breeders.certain else spread(breeders.first, lines)
    dam, sire = breeders.dam[places], breeders.sire[places]
    value = terms.constant[places] + terms.dam[places] * alone[dam] + terms.sire[places] * alone[sire]
    owner = np.repeat(np.arange(len(lines)), breeders.first[lines + 1] - breeders.first[lines])
    asked = (dam < breeders.rows) & (sire < breeders.rows)
    if together is not None:
        asked &= np.isnan(together)[owner]
    both = np.flatnonzero(asked)
    value[both] += terms.pair[places[both]] * pair_kinship(dam[both], sire[both])
    if breeders.certain:
        return value
    result: np.ndarray = np.bincount(owner, weights=value, minlength=len(lines))
    return result if together is None else result + np.nan_to_num(together)
