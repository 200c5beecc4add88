"""Simpler ways to make a plan, and the usual exact ones: every plan there is, and the textbook program."""

import itertools

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp

from breeding.planning.objective import figures_of
from breeding.planning.problem import Problem, uses_of


def by_rank(problem: Problem, rank: np.ndarray) -> list[tuple[int, int]]:
    """The pairs of lowest rank, one after the other, as the limits allow."""
    chosen: list[tuple[int, int]] = []
    for at in np.argsort(rank, axis=None, kind="stable").tolist():
        pair = divmod(at, rank.shape[1])
        uses = uses_of(problem, [*chosen, pair])
        if problem.allowed[pair] and (uses <= problem.capacity).all():
            chosen.append(pair)
        if len(chosen) == problem.crosses:
            break
    return chosen


def least_kinship(problem: Problem) -> list[tuple[int, int]]:
    """The least related pairs first."""
    return by_rank(problem, problem.between)


def least_mean_kinship(problem: Problem) -> list[tuple[int, int]]:
    """The fish of least mean kinship among the candidates first."""
    mean, dams = problem.kinship.mean(axis=1), len(problem.dams)
    return by_rank(problem, mean[:dams, None] + mean[None, dams:])


def at_random(problem: Problem, seed: int) -> list[tuple[int, int]]:
    """Any pairs within the limits."""
    return by_rank(problem, np.random.default_rng(seed).random(problem.between.shape))


def textbook(problem: Problem, seconds: float) -> tuple[float, float]:
    """Objective and bound of the usual linear program: one variable for each product of two choices."""
    rows, columns = np.nonzero(problem.allowed)
    count, dams = len(rows), len(problem.dams)
    members = np.zeros((count, len(problem.fish)))
    members[np.arange(count), rows] = members[np.arange(count), columns + dams] = 1
    cost = members @ problem.kinship @ members.T / (4 * problem.crosses**2)
    one, two = np.triu_indices(count, 1)
    products = np.arange(len(one))
    entries = np.concatenate([np.ones(2 * len(one)), -np.ones(len(one))])
    where = (np.tile(products, 3), np.concatenate([one, two, count + products]))
    both = sparse.csr_array((entries, where), shape=(len(one), count + len(one)))
    uses = sparse.hstack([sparse.csr_array(members.T), sparse.csr_array((len(problem.fish), len(one)))])
    total = sparse.csr_array(np.concatenate([np.ones(count), np.zeros(len(one))])[None])
    found = milp(
        np.concatenate([np.diagonal(cost), 2 * cost[one, two]]) * 1_000,
        integrality=np.concatenate([np.ones(count), np.zeros(len(one))]),
        bounds=Bounds(0, 1),
        constraints=[
            LinearConstraint(both, -np.inf, 1),
            LinearConstraint(uses, -np.inf, problem.capacity),
            LinearConstraint(total, problem.crosses, problem.crosses),
        ],
        options={"time_limit": seconds},
    )
    return (np.inf if found.x is None else found.fun / 1_000), (found.mip_dual_bound or 0.0) / 1_000


def every_plan(problem: Problem) -> float:
    """The objective of the best of all plans, each looked at."""
    cells = np.argwhere(problem.allowed).tolist()
    plans = itertools.combinations([(dam, sire) for dam, sire in cells], problem.crosses)
    within = (plan for plan in plans if (uses_of(problem, plan) <= problem.capacity).all())
    return min(figures_of(problem, plan).objective for plan in within)
