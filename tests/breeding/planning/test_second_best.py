"""What takes the place of a fish that drops out tonight."""

import numpy as np
import pytest

from breeding.planning.feasible import Blocking
from breeding.planning.objective import figures_of
from breeding.planning.plan import best_plan
from breeding.planning.problem import Problem
from breeding.planning.second_best import replacements
from tests.breeding.planning.cases import every_plan, kinship_of, within_limits


def stock(crosses: int, **more: object) -> Problem:
    kinship = kinship_of(np.random.default_rng(3), 7)
    names = ("D1", "D2", "D3"), ("S1", "S2", "S3", "S4")
    return Problem(*names, kinship, crosses, **more)  # type: ignore[arg-type]


def test_every_fish_of_the_plan_has_its_replacement_and_the_other_crosses_stay() -> None:
    problem = stock(3, most={"max_crosses": np.full(7, 2)})
    plan = best_plan(problem)
    found = replacements(plan)
    assert set(found) == {problem.dams[dam] for dam, _ in plan.pairs} | {problem.sires[sire] for _, sire in plan.pairs}
    for fish, one in found.items():
        after = tuple(sorted((set(plan.pairs) - set(one.lost)) | set(one.added)))
        names = {problem.dams[dam] for dam, _ in after} | {problem.sires[sire] for _, sire in after}
        assert fish not in names
        assert within_limits(problem, after)
        assert one.figures == figures_of(problem, after)


def test_the_replacement_is_the_best_there_is_for_one_lost_cross() -> None:
    problem = stock(3, most={"max_crosses": np.full(7, 1)})
    plan = best_plan(problem)
    for fish, one in replacements(plan).items():
        kept = set(plan.pairs) - set(one.lost)
        if len(one.lost) > 1 or one.figures is None:
            continue
        at = problem.fish.index(fish)
        others = [other for other in every_plan(problem) if kept <= set(other)]
        others = [other for other in others if not any(at in (dam, 3 + sire) for dam, sire in other)]
        assert one.figures.objective == pytest.approx(min(figures_of(problem, other).objective for other in others))


def test_a_fish_that_cannot_be_replaced_is_told_with_what_is_in_the_way() -> None:
    problem = stock(3, most={"milt": np.array([1, 1, 1, 3, 3, 3, 3])})
    one = replacements(best_plan(problem))["D2"]
    assert one.figures is None
    assert one.added == ()
    assert Blocking("dropped_out", "D2") in one.blocking


def test_crosses_made_already_are_not_lost() -> None:
    problem = stock(3, fixed=((0, 0),), most={"max_crosses": np.full(7, 2)})
    found = replacements(best_plan(problem))
    assert all((0, 0) not in one.lost for one in found.values())
    assert all(one.figures is not None for one in found.values())
