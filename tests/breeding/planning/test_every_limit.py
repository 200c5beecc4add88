"""Plans under whatever limits a season has, against every plan there is; and how the work is watched and ended."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from breeding.planning.advice.held import Binding, binding_of, broken_by
from breeding.planning.feasible import InfeasibleError
from breeding.planning.objective import figures_of
from breeding.planning.plan import Effort, Progress, best_plan
from breeding.planning.problem import NO_LIMIT, Problem
from tests.breeding.planning.cases import best_of, every_plan, kinship_of, season, season_by_scheme, within_limits


def stock(fish: int, crosses: int, **more: object) -> Problem:
    names = tuple(f"D{one:02d}" for one in range(fish)), tuple(f"S{one:02d}" for one in range(fish))
    kinship = kinship_of(np.random.default_rng(5), 2 * fish)
    return Problem(*names, kinship, crosses, **more)  # type: ignore[arg-type]


@settings(max_examples=40)
@given(st.integers(0, 100_000))
def test_the_plan_keeps_every_limit_and_no_other_is_better(seed: int) -> None:
    problem = season(seed)
    plans = every_plan(problem)
    assume(plans)
    plan = best_plan(problem)
    least, kinship = best_of(problem, plans)
    assert within_limits(problem, plan.pairs)
    assert plan.figures.objective == pytest.approx(least, abs=1e-12)
    assert plan.lower_bound <= least + 1e-12
    assert plan.proven
    # Of plans that are as good, the one of the least related pairs.
    assert plan.figures.mean_pair_kinship == pytest.approx(kinship, abs=1e-12)


@settings(max_examples=6)
@given(st.integers(0, 100_000))
def test_a_plan_by_a_scheme_keeps_it_and_no_other_is_better(seed: int) -> None:
    problem = season_by_scheme(seed)
    plans = every_plan(problem)
    if not plans:
        with pytest.raises(InfeasibleError):
            best_plan(problem)
        return
    plan = best_plan(problem)
    least, _ = best_of(problem, plans)
    assert within_limits(problem, plan.pairs)
    assert broken_by(problem, plan.pairs) == []
    assert plan.figures.objective == pytest.approx(least, abs=1e-12)
    assert plan.lower_bound <= least + 1e-12
    assert plan.proven


@settings(max_examples=10)
@given(st.integers(0, 1_000), st.randoms())
def test_the_order_in_which_fish_are_known_changes_nothing(seed: int, shuffle) -> None:
    # The same fish under names in another order: the same worth.
    problem = replace(season(seed), fixed=(), least=None, most={})
    assume(every_plan(problem))
    dams, sires = list(range(len(problem.dams))), list(range(len(problem.sires)))
    shuffle.shuffle(dams)
    shuffle.shuffle(sires)
    order = [*dams, *(len(dams) + sire for sire in sires)]
    living = problem.living and replace(problem.living, mean_kinship=problem.living.mean_kinship[order])
    ruled_out = {name: pairs[np.ix_(dams, sires)] for name, pairs in problem.ruled_out.items()}
    other = replace(problem, kinship=problem.kinship[np.ix_(order, order)], living=living, ruled_out=ruled_out)
    one, two = best_plan(problem).figures, best_plan(other).figures
    assert one.objective == pytest.approx(two.objective, abs=1e-14)
    assert one.mean_pair_kinship == pytest.approx(two.mean_pair_kinship, abs=1e-12)


def test_a_limit_met_with_equality_is_named() -> None:
    most = {"milt": np.array([NO_LIMIT] * 3 + [1, 1, 1]), "eggs": np.array([5] * 3 + [NO_LIMIT] * 3)}
    plan = best_plan(stock(3, 3, most=most))
    assert binding_of(plan.problem, plan.pairs) == [Binding("milt", fish, 1) for fish in ("S00", "S01", "S02")]


def test_a_plan_cut_short_says_so_and_is_a_plan_all_the_same() -> None:
    problem = stock(8, 8, price=0.1)
    plan = best_plan(problem, Effort(seconds=1e-6))
    assert plan.cut_short
    assert within_limits(problem, plan.pairs)
    assert plan.lower_bound <= best_plan(problem).figures.objective


def test_a_cancel_keeps_the_best_plan_so_far() -> None:
    calls = itertools.count()
    plan = best_plan(stock(8, 8), Effort(cancelled=lambda: next(calls) > 3))
    assert plan.cut_short
    assert len(plan.pairs) == 8


def test_progress_tells_of_ever_better_plans_and_bounds() -> None:
    told: list[Progress] = []
    plan = best_plan(stock(8, 8, price=0.1), Effort(progress=told.append))
    assert told[0].step == "first plan"
    objectives, bounds = [one.objective for one in told], [one.lower_bound for one in told]
    assert all(later <= earlier + 1e-12 for earlier, later in itertools.pairwise(objectives))
    assert all(later >= earlier - 1e-12 for earlier, later in itertools.pairwise(bounds))
    assert objectives[-1] == pytest.approx(plan.figures.objective, abs=1e-12)


def test_a_season_that_is_all_fixed_is_its_own_plan() -> None:
    plan = best_plan(stock(3, 2, fixed=((0, 1), (2, 2))))
    assert plan.pairs == ((0, 1), (2, 2))
    assert plan.proven
    assert plan.figures == figures_of(plan.problem, plan.pairs)


def test_without_a_proof_the_plan_is_found_and_the_bound_is_left_at_nothing() -> None:
    problem = stock(8, 8)
    plan = best_plan(problem, Effort(proof=False))
    assert plan.lower_bound == 0
    assert plan.figures.objective == pytest.approx(best_plan(problem).figures.objective, rel=1e-3)
