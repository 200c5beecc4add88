"""Who meets whom, once it is settled how often each fish is used: the pairs of least total kinship."""

import numpy as np
from scipy.optimize import linear_sum_assignment  # type: ignore[attr-defined]

from breeding.planning.flow import least_pairs
from breeding.planning.problem import Problem, Whole

Pair = tuple[int, int]

# Larger than any sum of kinships, small enough to add up exactly with them.
NEVER = 1e6


def least_related(problem: Problem, uses: Whole) -> list[Pair]:
    """The allowed pairs with these uses and the least total kinship.

    Parameters
    ----------
    uses : (fish,), for which some set of allowed pairs exists.

    Returns
    -------
    Pairs of positions (dam, sire), sorted.
    """
    dams = len(problem.dams)
    rows, columns = np.repeat(np.arange(dams), uses[:dams]), np.repeat(np.arange(len(problem.sires)), uses[dams:])
    cost = np.where(problem.allowed, problem.between, NEVER)[np.ix_(rows, columns)]
    one, two = linear_sum_assignment(cost)
    pairs = sorted(zip(rows[one].tolist(), columns[two].tolist(), strict=True))
    if len(set(pairs)) == len(pairs) and all(problem.allowed[pair] for pair in pairs):
        return pairs
    # Assignment by uses may take a pair twice; the flow over pairs cannot.
    return least_pairs(problem, uses)
