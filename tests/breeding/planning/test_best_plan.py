"""The best cross plan against every plan there is, on cases small enough to try them all."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breeding.planning.plan import Effort, best_plan
from breeding.planning.problem import LivingShare, Problem

TEN_SECONDS = Effort(seconds=10.0)


def kinship_of(seed: int, fish: int) -> np.ndarray:
    """Return the kinship of young of a few unrelated founders: K = W (I/2) Wᵀ, and 1/2 with self."""
    random = np.random.default_rng(seed)
    founders = 6
    weights = np.zeros((fish, founders))
    for one in range(fish):
        dam, sire = random.choice(founders, 2, replace=False)
        weights[one, [dam, sire]] = 0.5
    kinship = weights @ weights.T / 2
    np.fill_diagonal(kinship, 0.5)
    return kinship


def objective(problem: Problem, pairs: tuple[tuple[int, int], ...]) -> float:
    """Return J as the contract writes it: (1−A)²θ + 2A(1−A) cᵀk + A² cᵀKc + G · mean kinship of the pairs."""
    dams = len(problem.dams)
    uses = np.zeros(len(problem.fish))
    for dam, sire in pairs:
        uses[dam] += 1
        uses[dams + sire] += 1
    c = uses / (2 * len(pairs))
    young = c @ problem.kinship @ c
    paired = np.mean([problem.kinship[dam, dams + sire] for dam, sire in pairs])
    living = problem.living
    if living is None:
        return float(young + problem.price * paired)
    a = living.weight_of_young
    with_living = (1 - a) ** 2 * living.coancestry + 2 * a * (1 - a) * (c @ living.mean_kinship) + a**2 * young
    return float(with_living + problem.price * paired)


def least_of_all(problem: Problem) -> float:
    """Return the least objective over every plan within the limits."""
    cells = list(itertools.product(range(len(problem.dams)), range(len(problem.sires))))
    ruled_out = np.zeros((len(problem.dams), len(problem.sires)), dtype=bool)
    for forbidden in problem.ruled_out.values():
        ruled_out |= forbidden
    plans = itertools.combinations([cell for cell in cells if not ruled_out[cell]], problem.crosses)
    return min(objective(problem, plan) for plan in plans if _within(problem, plan))


def _within(problem: Problem, plan: tuple[tuple[int, int], ...]) -> bool:
    uses = np.zeros(len(problem.fish))
    for dam, sire in plan:
        uses[dam] += 1
        uses[len(problem.dams) + sire] += 1
    return all((uses <= most).all() for most in problem.most.values())


@settings(max_examples=25)
@given(st.integers(0, 10_000), st.integers(2, 4), st.sampled_from([0.0, 0.05]), st.booleans())
def test_no_plan_is_better_and_no_bound_above_the_best(seed: int, crosses: int, price: float, beside: bool) -> None:
    # Second opinion: every plan is tried.
    kinship = kinship_of(seed, 7)
    living = LivingShare(0.12, kinship.mean(axis=1), 0.6) if beside else None
    most = {"crosses of a fish": np.full(7, 2)}
    forbidden = kinship[:3, 3:] >= 0.125
    if (~forbidden).sum() < 9:
        forbidden = np.zeros((3, 4), dtype=bool)
    problem = Problem(
        ("D1", "D2", "D3"), ("S1", "S2", "S3", "S4"), kinship, crosses,
        most=most, ruled_out={"kinship": forbidden}, living=living, price=price,
    )  # fmt: skip
    plan = best_plan(problem, TEN_SECONDS)
    least = least_of_all(problem)
    assert plan.figures.objective == pytest.approx(objective(problem, plan.pairs), abs=1e-12)
    assert plan.figures.objective == pytest.approx(least, abs=1e-9)
    assert plan.lower_bound <= least + 1e-12
    assert plan.proven
    assert not any(forbidden[pair] for pair in plan.pairs)
    assert _within(problem, plan.pairs)


def test_the_same_question_gets_the_same_plan() -> None:
    problem = Problem(("D1", "D2", "D3"), ("S1", "S2", "S3"), kinship_of(3, 6), 3)
    assert best_plan(problem, TEN_SECONDS).pairs == best_plan(problem, TEN_SECONDS).pairs
