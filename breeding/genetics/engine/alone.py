"""Kinship of a fish with itself, from that of its possible parents."""

from collections.abc import Callable

import numpy as np

from breeding.genetics.engine.breeders import Breeders
from breeding.genetics.engine.order import spread

PairKinship = Callable[[np.ndarray, np.ndarray], np.ndarray]


def self_kinship_of(breeders: Breeders, lines: np.ndarray, alone: np.ndarray, pair_kinship: PairKinship) -> np.ndarray:
    """Self-kinship of a fish of each line; of a draw, the kinship of two fish that share it.

    Parameters
    ----------
    lines : (n,) int
        Families, or families + draws.
    alone : (rows + 1,) float
        Self-kinship of the breeders, 0 for the unknown parent; those above the lines must be known.
    pair_kinship
        Kinship of two arrays of rows.

    Returns
    -------
    (n,) float
    """
    single = len(breeders.first) == len(breeders.dam) + 1
    places = lines if single else spread(breeders.first, lines)
    dam, sire = breeders.dam[places], breeders.sire[places]
    terms = breeders.terms
    value = terms.constant[places] + terms.dam[places] * alone[dam] + terms.sire[places] * alone[sire]
    both = np.flatnonzero((dam < breeders.rows) & (sire < breeders.rows))
    value[both] += terms.pair[places[both]] * pair_kinship(dam[both], sire[both])
    if single:
        return value
    owner = np.repeat(np.arange(len(lines)), breeders.first[lines + 1] - breeders.first[lines])
    return np.bincount(owner, weights=value, minlength=len(lines))
