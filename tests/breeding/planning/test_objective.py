"""What a plan is worth: the worked example, and the formula written out."""

import numpy as np
import pytest
from scipy.optimize import minimize

from breeding.planning.objective import figures_of, is_better, objective_of
from breeding.planning.problem import LivingShare, Problem

# F1 is a daughter of M1, F2 and M2 are unrelated to all. Optimum contributions (Meuwissen 1997, J. Anim. Sci. 75: 934)
# for coancestry alone, by hand: at c = (.2, .3 | .2, .3) every (Kc) is 0.15, so that no shift within a sex helps.
KINSHIP = np.array([[0.5, 0, 0.25, 0], [0, 0.5, 0, 0], [0.25, 0, 0.5, 0], [0, 0, 0, 0.5]])
ALL_FOUR = ((0, 0), (0, 1), (1, 0), (1, 1))


def example(crosses: int, **more: object) -> Problem:
    return Problem(("F1", "F2"), ("M1", "M2"), KINSHIP, crosses, **more)  # type: ignore[arg-type]


def test_the_worked_example_has_its_optimum_at_0_15() -> None:
    # Five lots: M1 and F1 give two each, M2 and F2 three.
    uses = np.array([2, 3, 2, 3])
    assert uses @ objective_of(example(5)).quadratic @ uses == pytest.approx(0.15, abs=1e-15)
    found = minimize(
        lambda c: c @ KINSHIP @ c,
        np.full(4, 0.25),
        bounds=[(0, 1)] * 4,
        constraints=[{"type": "eq", "fun": lambda c, s=s: c[s].sum() - 0.5} for s in (slice(0, 2), slice(2, 4))],
        tol=1e-14,
    )
    assert found.fun == pytest.approx(0.15, abs=1e-9)
    assert found.x == pytest.approx(uses / 10, abs=1e-4)


def test_equal_contributions_of_the_worked_example_are_worth_0_15625() -> None:
    assert figures_of(example(4), ALL_FOUR).group_coancestry == 0.15625


def test_the_living_and_the_price_are_counted_as_the_formula_says() -> None:
    living = LivingShare(0.2, np.array([0.1, 0.2, 0.3, 0.4]), 0.5)
    problem = example(4, living=living, price=0.1)
    # (½)² 0.2 + 2 · ½ · ½ · 0.25 + (½)² 0.15625 + 0.1 · 0.25 / 4, worked by hand.
    assert figures_of(problem, ALL_FOUR).objective == pytest.approx(0.05 + 0.125 + 0.0390625 + 0.00625, abs=1e-15)


def test_crosses_made_already_count_in_the_constant_part() -> None:
    living = LivingShare(0.2, np.array([0.1, 0.2, 0.3, 0.4]), 0.6)
    problem = example(3, living=living, price=0.1, fixed=((0, 0),))
    objective, uses = objective_of(problem), np.array([1, 1, 0, 2])
    worth = objective.constant + objective.linear @ uses + uses @ objective.quadratic @ uses
    worth += objective.pair[0, 1] + objective.pair[1, 1]
    assert worth == pytest.approx(figures_of(problem, ((0, 0), (0, 1), (1, 1))).objective, abs=1e-15)


def test_of_plans_of_equal_worth_the_less_related_pairs_are_better() -> None:
    problem = example(2)
    near, far = figures_of(problem, ((0, 0), (1, 1))), figures_of(problem, ((0, 1), (1, 0)))
    assert near.objective == far.objective
    assert is_better(far, near)
    assert not is_better(near, far)


def test_a_plan_with_too_few_crosses_has_no_figures() -> None:
    with pytest.raises(ValueError, match="The plan has 1 crosses where 2 are wanted"):
        figures_of(example(2), ((0, 0),))
