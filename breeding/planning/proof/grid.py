"""Objectives that can only take values on a grid: a bound between two of them may be rounded up.

Kinships of certain diploid parentage are whole multiples of a power of one half, so cᵀKc is a whole multiple of that
over 4N².
"""

import numpy as np

from breeding.planning.problem import Problem

FINEST = 40  # powers of one half; finer grids gain nothing


def grid_of(problem: Problem) -> float | None:
    """The distance between neighbouring values of the objective; None where values follow no grid."""
    if problem.price > 0 or problem.planned or (problem.living is not None and problem.living.weight_of_young < 1):
        return None
    own, pairs = np.diagonal(problem.kinship), 2 * problem.kinship[np.triu_indices(len(problem.kinship), 1)]
    values = np.unique(np.concatenate([own, pairs]))
    for power in range(FINEST):
        scaled = values * 2.0**power
        if np.array_equal(scaled, np.round(scaled)):
            return float(1 / (2.0**power * 4 * problem.crosses**2))
    return None


def rounded_up(bound: float, grid: float | None) -> float:
    """The least value on the grid at or above a bound; the bound itself without a grid."""
    if grid is None or not np.isfinite(bound):
        return bound
    steps = bound / grid
    # A bound that rounding has put just above a value must not be sent to the next one.
    return max(bound, float(np.ceil(steps - 1e-9 * max(steps, 1.0) - 1e-6)) * grid)
