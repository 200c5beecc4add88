"""Whole plans out of linear programs: which pairs, if every pair has a price and every fish a least and a largest use.

The constraints are those of a flow, so every corner of the program is a whole plan (Hoffman and Kruskal 1956).
"""

import numpy as np
from scipy import sparse
from scipy.optimize import linprog  # type: ignore[attr-defined]

from breeding.planning.feasible import incidence_of
from breeding.planning.problem import Floats, Problem, Whole

Pair = tuple[int, int]


def corner(problem: Problem, fish_cost: Floats, pair_cost: Floats) -> list[Pair]:
    """The cheapest plan where each use of a fish and each pair has a fixed cost, (fish,) and (dams, sires)."""
    dams = len(problem.dams)
    cost = pair_cost + fish_cost[:dams, None] + fish_cost[None, dams:]
    return _cheapest(problem, cost, (problem.needed, problem.room))


def least_pairs(problem: Problem, uses: Whole) -> list[Pair]:
    """The allowed pairs of least total kinship with exactly these uses, (fish,)."""
    return _cheapest(problem, problem.between, (uses, uses))


def _cheapest(problem: Problem, cost: Floats, uses: tuple[Whole, Whole]) -> list[Pair]:
    dams, (least, most) = len(problem.dams), uses
    pairs = np.argwhere(problem.allowed & (most[:dams, None] > 0) & (most[None, dams:] > 0))
    incidence = incidence_of(pairs, dams, len(problem.fish))
    price = cost[pairs[:, 0], pairs[:, 1]]
    scale = float(np.abs(price).max(initial=0.0)) or 1.0  # solvers take differences below 1e-7 for none
    found = linprog(
        price / scale,
        A_ub=sparse.vstack([incidence, -incidence]),
        b_ub=np.concatenate([most, -least]),
        A_eq=sparse.csr_array(np.ones((1, len(pairs)))),
        b_eq=[problem.free],
        bounds=(0, 1),
        method="highs-ds",
    )
    if found.x is None:
        raise ValueError("No allowed pairs have these uses.")
    chosen: list[Pair] = [(int(dam), int(sire)) for dam, sire in pairs[found.x > 0.5]]
    return chosen
