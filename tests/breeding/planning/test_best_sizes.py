"""The best sizes of given families, beside a general optimiser."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.advice.beside import figures_of_any
from breeding.planning.best_sizes import best_sizes
from breeding.planning.problem import Problem
from tests.breeding.planning.cases import every_plan, season


def test_the_worked_example_is_reached() -> None:
    # Optimum contributions of the example in test_objective.py are worth 0.15 (Meuwissen 1997, J. Anim. Sci. 75: 934).
    rows = [ParentRow("M1"), ParentRow("M2"), ParentRow("F2"), ParentRow("X"), ParentRow("F1", "X", "M1")]
    fish = ("F1", "F2", "M1", "M2")
    problem = Problem(fish[:2], fish[2:], kinship_among(build_pedigree(rows), fish), 4)
    found = best_sizes(problem, ((0, 0), (0, 1), (1, 0), (1, 1)))
    assert found.figures.group_coancestry == pytest.approx(0.15, abs=1e-10)
    assert found.lower_bound == pytest.approx(0.15, abs=1e-10)
    assert sum(found.shares) == pytest.approx(1.0)


@settings(max_examples=20)
@given(st.integers(0, 100_000))
def test_no_sizes_that_a_general_optimiser_finds_are_better(seed: int) -> None:
    problem = season(seed)
    plans = [plan for plan in every_plan(problem) if len(plan) > 1]
    assume(plans)
    pairs = plans[seed % len(plans)]
    found = best_sizes(problem, pairs)

    def worth(shares: np.ndarray) -> float:
        return figures_of_any(problem, pairs, dict(zip(pairs, (shares + 1e-9).tolist(), strict=True))).objective

    whole = {"type": "eq", "fun": lambda shares: shares.sum() - 1}
    start = np.full(len(pairs), 1 / len(pairs))
    other = minimize(worth, start, method="SLSQP", bounds=[(0, 1)] * len(pairs), constraints=[whole]).fun
    assert found.figures.objective <= other + 1e-7
    assert found.lower_bound <= found.figures.objective + 1e-12
    assert found.figures.objective - found.lower_bound <= 1e-8
