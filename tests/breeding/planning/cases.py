"""Small invented seasons, and every plan there is for them."""

import itertools

import numpy as np

from breeding.planning.objective import figures_of
from breeding.planning.problem import LivingShare, Problem, uses_of

Pairs = tuple[tuple[int, int], ...]


def kinship_of(random: np.random.Generator, fish: int) -> np.ndarray:
    """Return the kinship of young of related parents: K = W P Wᵀ off the diagonal, ½ (1 + F) with self."""
    parents = 6
    between = np.full((parents, parents), 0.0625)
    np.fill_diagonal(between, 0.5)
    weights = np.zeros((fish, parents))
    for one in range(fish):
        weights[one, random.choice(parents, 2, replace=False)] = 0.5
    kinship = weights @ between @ weights.T
    np.fill_diagonal(kinship, 0.5 * (1 + random.choice([0.0, 0.0625, 0.25], fish)))
    return kinship


def season(seed: int, dams: int = 3, sires: int = 4) -> Problem:
    """Return a season with whatever limits the seed draws."""
    random = np.random.default_rng(seed)
    fish = dams + sires
    kinship = kinship_of(random, fish)
    wanted = int(random.integers(1, 6))
    limits: dict = {}
    if random.random() < 0.6:
        limits["most"] = {"max_crosses": random.integers(1, 4, fish)}
    if random.random() < 0.6:
        limits["ruled_out"] = {"forbid": random.random((dams, sires)) < 0.3}
    if random.random() < 0.3:
        limits["least"] = (random.random(fish) < 0.3).astype(int)
    if random.random() < 0.3:
        limits["fixed"] = ((0, 1),)
    if random.random() < 0.4:
        limits["living"] = LivingShare(0.12, kinship.mean(axis=1), float(random.uniform(0.2, 1)))
    price = float(random.choice([0.0, 0.0, 0.05, 0.5]))
    names = tuple(f"D{one}" for one in range(dams)), tuple(f"S{one}" for one in range(sires))
    return Problem(*names, kinship, wanted, price=price, **limits)


def within_limits(problem: Problem, pairs: Pairs) -> bool:
    """Say whether a plan keeps every limit, each looked up by itself."""
    uses = uses_of(problem, pairs)
    return (
        len(set(pairs)) == problem.crosses
        and set(problem.fixed) <= set(pairs)
        and all((uses <= most).all() for most in problem.most.values())
        and not any(out[pair] for out in problem.ruled_out.values() for pair in set(pairs) - set(problem.fixed))
        and (problem.least is None or bool((uses >= problem.least).all()))
    )


def every_plan(problem: Problem) -> list[Pairs]:
    """List all plans within the limits."""
    cells = itertools.product(range(len(problem.dams)), range(len(problem.sires)))
    return [plan for plan in itertools.combinations(cells, problem.crosses) if within_limits(problem, plan)]


def best_of(problem: Problem, plans: list[Pairs]) -> tuple[float, float]:
    """Return the least objective, and the least mean pair kinship of the plans that have it (within 1e-12)."""
    figures = [figures_of(problem, plan) for plan in plans]
    least = min(one.objective for one in figures)
    return least, min(one.mean_pair_kinship for one in figures if one.objective <= least + 1e-12)
