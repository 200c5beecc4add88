"""A plan changed by hand beside the best one, and its young by family size."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from breeding.genetics.diversity import group_coancestry
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.advice.beside import Optimum, figures_beside, figures_of_any
from breeding.planning.advice.held import Broken
from breeding.planning.advice.young import sized, young_of
from breeding.planning.objective import figures_of
from breeding.planning.plan import Effort, Plan, best_plan
from breeding.planning.problem import Problem
from tests.breeding.planning.cases import every_plan, season, within_limits


def known(plan: Plan) -> Optimum:
    return Optimum(plan.figures.objective, plan.figures.group_coancestry, plan.lower_bound)


def test_the_best_plan_beside_itself_loses_nothing() -> None:
    plan = best_plan(season(3))
    beside = figures_beside(plan.problem, plan.pairs, known(plan))
    assert (beside.worse, beside.diversity_lost, beside.broken) == (0.0, 0.0, ())
    assert beside.at_most_better == plan.gap


def test_a_worse_set_of_crosses_is_told_with_what_it_loses_and_breaks() -> None:
    problem = Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, 2, most={"milt": np.array([9, 9, 1, 1])})
    # Two half-sib families of one male: cᵀKc = ½ (¼ + ¼ + 2 · 1) · ¼ = 3/16 where two pairs of their own have 1/8.
    beside = figures_beside(problem, ((0, 0), (1, 0)), Optimum(1 / 8, 1 / 8, 0.1))
    assert beside.figures.group_coancestry == 3 / 16
    assert beside.diversity_lost == beside.worse == 1 / 16
    assert beside.at_most_better == pytest.approx((3 / 16 - 0.1) / (3 / 16))
    assert beside.broken == (Broken("milt", ("S1",), 2, 1),)


def test_one_cross_less_is_told_as_that() -> None:
    plan = best_plan(Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, 2))
    beside = figures_beside(plan.problem, plan.pairs[:1], known(plan))
    assert beside.figures == figures_of_any(plan.problem, plan.pairs[:1])
    assert beside.figures.group_coancestry == 1 / 4
    assert beside.broken == (Broken("crosses", (), 1, 2),)


@settings(max_examples=10)
@given(st.integers(0, 10_000))
def test_looking_again_from_the_plan_at_hand_is_never_worse(seed: int) -> None:
    problem = season(seed)
    plans = every_plan(problem)
    assume(plans)
    pairs = plans[seed % len(plans)]
    plan = best_plan(problem, Effort(seconds=0.0, proof=False), near=pairs)
    assert within_limits(problem, plan.pairs)
    assert plan.figures.objective <= figures_of(problem, pairs).objective + 1e-12


ROWS = [
    ParentRow("M1"), ParentRow("M2"), ParentRow("F2"), ParentRow("X"), ParentRow("F1", "X", "M1"),
]  # fmt: skip
ALL_FOUR = ((0, 0), (0, 1), (1, 0), (1, 1))


@pytest.mark.parametrize(("ploidy", "reduction"), [(2, 0.0), (4, 0.0), (4, 0.1)])
def test_young_by_family_size_have_the_coancestry_of_a_pedigree_with_each_of_them(ploidy, reduction) -> None:
    # Second opinion: each of the young as a fish of its own in the pedigree.
    pedigree = build_pedigree(ROWS, ploidy=ploidy, double_reduction=reduction)
    fish = ("F1", "F2", "M1", "M2")
    problem = Problem(fish[:2], fish[2:], kinship_among(pedigree, fish), 4)
    sizes = (3, 1, 2, 5)
    young = [
        ParentRow(f"{pair}-{number}", fish[pair[0]], fish[2 + pair[1]])
        for pair, size in zip(ALL_FOUR, sizes, strict=True)
        for number in range(size)
    ]
    told = sized(problem, ALL_FOUR, young_of(problem, ALL_FOUR, pedigree, pedigree.positions(fish)), sizes)
    larger = build_pedigree([*ROWS, *young], ploidy=ploidy, double_reduction=reduction)
    assert told.coancestry_of_young == pytest.approx(group_coancestry(larger, [row.fish for row in young]), abs=1e-12)
    assert told.young == 11
    by_size = figures_of_any(problem, ALL_FOUR, dict(zip(ALL_FOUR, sizes, strict=True)))
    assert by_size.group_coancestry == pytest.approx(told.group_coancestry, abs=1e-15)


def test_the_worked_example_is_reached_by_family_sizes() -> None:
    # Optimum contributions (Meuwissen 1997, J. Anim. Sci. 75: 934) of the example in test_objective.py: M1 and F1 give
    # 0.2 each, M2 and F2 0.3: worth 0.15, where equal families are worth 0.15625.
    pedigree = build_pedigree(ROWS)
    fish = ("F1", "F2", "M1", "M2")
    problem = Problem(fish[:2], fish[2:], kinship_among(pedigree, fish), 4)
    young = young_of(problem, ALL_FOUR, pedigree, pedigree.positions(fish))
    assert sized(problem, ALL_FOUR, young, (0, 400, 400, 200)).group_coancestry == pytest.approx(0.15, abs=1e-15)
    equal = sized(problem, ALL_FOUR, young, (1, 1, 1, 1))
    assert equal.group_coancestry == 0.15625
    assert equal.mean_inbreeding == 0.0625  # F1 × M1, daughter and father: a quarter, in one of four families


def test_family_sizes_must_fit_the_crosses() -> None:
    pedigree = build_pedigree(ROWS)
    fish = ("F1", "F2", "M1", "M2")
    problem = Problem(fish[:2], fish[2:], kinship_among(pedigree, fish), 4)
    young = young_of(problem, ALL_FOUR, pedigree, pedigree.positions(fish))
    with pytest.raises(ValueError, match="3 family sizes for 4 crosses"):
        sized(problem, ALL_FOUR, young, (1, 1, 1))
