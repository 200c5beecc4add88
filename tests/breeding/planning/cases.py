"""Small invented seasons, and every plan there is for them."""

import itertools

import numpy as np

from breeding.planning.objective import figures_of
from breeding.planning.problem import LivingShare, Problem, Scheme, uses_of

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
        limits |= {"fixed": ((0, 1),), "sizes": {(0, 1): 2.5} if seed % 2 else {}}
    if random.random() < 0.4:
        limits["living"] = LivingShare(0.12, kinship.mean(axis=1), float(random.uniform(0.2, 1)))
    if random.random() < 0.4:
        limits |= {"fewest_dams": int(random.integers(1, 4)), "fewest_sires": int(random.integers(1, 5))}
    if random.random() < 0.2:
        limits["in_all"] = {"incubators": 4}
    price = float(random.choice([0.0, 0.0, 0.05, 0.5]))
    names = tuple(f"D{one}" for one in range(dams)), tuple(f"S{one}" for one in range(sires))
    return Problem(*names, kinship, wanted, price=price, **limits)


SCHEMES = {
    "single pair": (1, 1, (1, 2, 3)),
    "nested": (2, 1, (2, 4)),
    "nested, dams in sires": (1, 3, (3,)),
    "partial factorial": (2, 2, (4, 6)),
    "full factorial": (3, 2, (6,)),
}


def season_by_scheme(seed: int) -> Problem:
    """Return a season by one of the schemes, with some pairs forbidden, a fish vetoed, a price or a pair locked."""
    random = np.random.default_rng(seed)
    of_dam, of_sire, numbers = SCHEMES[random.choice(list(SCHEMES))]
    kinship = kinship_of(random, 7)
    limits: dict = {"ruled_out": {"forbid": random.random((3, 4)) < random.choice([0.0, 0.15])}}
    if random.random() < 0.3:
        limits["fixed"] = ((1, 2),)
    if random.random() < 0.3:
        limits["most"] = {"veto": np.where(np.arange(7) == random.integers(7), 0, 9)}
    names = ("D0", "D1", "D2"), ("S0", "S1", "S2", "S3")
    price = float(random.choice([0.0, 0.0, 0.1]))
    scheme = Scheme(of_dam, of_sire)
    return Problem(*names, kinship, int(random.choice(numbers)), price=price, scheme=scheme, **limits)


def within_limits(problem: Problem, pairs: Pairs) -> bool:
    """Say whether a plan keeps every limit, each looked up by itself."""
    uses = uses_of(problem, pairs)
    dams, sires = len({dam for dam, _ in pairs}), len({sire for _, sire in pairs})
    return (
        _keeps_scheme(problem, pairs)
        and dams >= problem.fewest_dams
        and sires >= problem.fewest_sires
        and all(problem.crosses <= most for most in problem.in_all.values())
        and len(set(pairs)) == problem.crosses
        and set(problem.fixed) <= set(pairs)
        and all((uses <= most).all() for most in problem.most.values())
        and not any(out[pair] for out in problem.ruled_out.values() for pair in set(pairs) - set(problem.fixed))
        and (problem.least is None or bool((uses >= problem.least).all()))
    )


def _keeps_scheme(problem: Problem, pairs: Pairs) -> bool:
    if problem.scheme is None:
        return True
    of_dam, of_sire = problem.scheme.mates_of_dam, problem.scheme.mates_of_sire
    return all(sum(dam == other for other, _ in pairs) == of_dam for dam, _ in pairs) and all(
        sum(sire == other for _, other in pairs) == of_sire for _, sire in pairs
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
