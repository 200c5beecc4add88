"""The bound: what it rests on, and that it is never above a plan."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from breeding.planning.objective import objective_of
from breeding.planning.plan import Effort, best_plan
from breeding.planning.problem import Problem
from breeding.planning.proof.grid import grid_of, rounded_up
from breeding.planning.proof.prices import pair_flow
from breeding.planning.proof.relaxed import Split, sorted_fill
from breeding.planning.proof.split import better_split, checked, first_split
from breeding.planning.search.draft import new_draft
from breeding.planning.search.fill import fill
from breeding.planning.search.restarts import figures
from tests.breeding.planning.cases import kinship_of


def stock(seed: int, dams: int = 6, sires: int = 8, **more: object) -> Problem:
    kinship = kinship_of(np.random.default_rng(seed), dams + sires)
    names = tuple(f"D{one}" for one in range(dams)), tuple(f"S{one}" for one in range(sires))
    most = {"max_crosses": np.full(dams + sires, 2)}
    return Problem(*names, kinship, 7, **({"most": most} | more))  # type: ignore[arg-type]


def least_eigenvalue(split: Split) -> float:
    return float(np.linalg.eigvalsh(split.rest)[0])


@given(st.integers(0, 10_000))
def test_what_is_left_of_the_kinship_is_never_indefinite(seed: int) -> None:
    problem = stock(seed)
    objective = objective_of(problem)
    spread = np.random.default_rng(seed).random(14)
    for split in (first_split(problem, objective), better_split(first_split(problem, objective), spread)):
        assert least_eigenvalue(split) >= -1e-15
        assert np.allclose(split.rest + np.diag(split.diagonal), objective.quadratic, atol=1e-18)


def test_a_diagonal_that_is_too_large_is_shrunk() -> None:
    problem = stock(1)
    objective = objective_of(problem)
    split = checked(problem, objective, 5 * np.diagonal(objective.quadratic))
    assert least_eigenvalue(split) >= 0
    assert (split.diagonal > 0).all()


def test_kinship_of_clones_is_bounded_too() -> None:
    # Two fish of the same genes leave the matrix singular: nothing can be split off.
    kinship = np.array([[0.5, 0.5, 0, 0.1], [0.5, 0.5, 0, 0.1], [0, 0, 0.5, 0], [0.1, 0.1, 0, 0.5]])
    problem = Problem(("D1", "D2"), ("S1", "S2"), kinship, 2)
    assert (first_split(problem, objective_of(problem)).diagonal < 0).any()
    plan = best_plan(problem)
    assert plan.proven
    assert plan.figures.group_coancestry == pytest.approx(3.4 / 16)  # a quarter from each


@settings(max_examples=20)
@given(st.integers(0, 10_000), st.booleans())
def test_sorting_and_flow_find_the_least_cost_that_an_integer_solver_finds(seed: int, forbid: bool) -> None:
    # Second opinion: scipy.optimize.milp on the same relaxed problem.
    random = np.random.default_rng(seed)
    ruled_out = {"forbid": (random.random((6, 8)) < 0.5) & forbid}
    problem = stock(seed, ruled_out=ruled_out, price=0.3 if forbid else 0.0)
    split = first_split(problem, objective_of(problem))
    slope = random.normal(0, 0.01, 14)
    least, corner = pair_flow(split, (), 7).least(slope)
    pairs = np.argwhere(problem.allowed)
    members = np.zeros((14, len(pairs)))
    members[pairs[:, 0], np.arange(len(pairs))] = members[6 + pairs[:, 1], np.arange(len(pairs))] = 1
    room = problem.room
    owner = np.repeat(np.arange(14), room)
    unit = np.concatenate([np.arange(count) for count in room]) if room.sum() else np.zeros(0)
    own = np.zeros((14, len(owner)))
    own[owner, np.arange(len(owner))] = 1
    use_cost = slope[owner] + split.diagonal[owner] * (2 * unit + 1)
    cost = np.concatenate([split.objective.pair[problem.allowed], use_cost])
    total = np.concatenate([np.ones(len(pairs)), np.zeros(len(owner))])[None]
    found = milp(
        cost * 1_000,
        integrality=np.ones(len(cost)),
        bounds=Bounds(0, 1),
        constraints=[LinearConstraint(np.hstack([members, -own]), 0, 0), LinearConstraint(total, 7, 7)],
    )
    if found.x is None:
        assert corner is None
    else:
        assert least == pytest.approx(found.fun / 1_000, abs=1e-9)
        assert least <= found.fun / 1_000 + 1e-9
        assert sorted_fill(split, slope)[0] <= least + 1e-12 or problem.price > 0


@settings(max_examples=15)
@given(st.integers(0, 10_000), st.sampled_from([0.0, 0.1]))
def test_bound_plan_and_greedy_plan_stand_in_that_order(seed: int, price: float) -> None:
    problem = stock(seed, price=price)
    greedy = new_draft(problem, objective_of(problem))
    fill(greedy)
    plan = best_plan(problem, Effort(seconds=5.0))
    assert plan.lower_bound <= plan.figures.objective <= figures(greedy).objective + 1e-15
    assert plan.gap >= 0


def test_objectives_of_a_plain_pedigree_lie_on_a_grid() -> None:
    problem = Problem(("D1",), ("S1", "S2"), np.eye(3) / 2, 2)
    assert grid_of(problem) == 1 / (2 * 16)  # halves over 4N²
    assert rounded_up(0.19, 1 / 32) == 7 / 32
    assert rounded_up(6 / 32 + 1e-15, 1 / 32) == pytest.approx(6 / 32)
    assert rounded_up(0.19, None) == 0.19


def test_objectives_with_a_price_lie_on_no_grid() -> None:
    assert grid_of(Problem(("D1",), ("S1",), np.eye(2) / 2, 1, price=0.1)) is None
    assert grid_of(Problem(("D1",), ("S1",), np.array([[0.5, 0.1], [0.1, 0.5]]), 1)) is None
