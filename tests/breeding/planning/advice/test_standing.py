"""Why a cross is in a plan and why another is not, against every plan there is."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from breeding.genetics.founders import contributions
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.advice.asked import ask_about
from breeding.planning.advice.standing import Served, founders_of, served_by, standings
from breeding.planning.objective import figures_of
from breeding.planning.plan import Effort, best_plan
from breeding.planning.problem import Problem, Scheme
from tests.breeding.planning.cases import every_plan, season

EFFORT = Effort(seconds=5.0)


@settings(max_examples=25)
@given(st.integers(0, 100_000))
def test_a_cross_stands_where_its_worth_puts_it_among_those_that_could_replace_it(seed: int) -> None:
    problem = season(seed)
    plans = every_plan(problem)
    assume(plans)
    pairs = plans[seed % len(plans)]
    now = figures_of(problem, pairs).objective
    for one in standings(problem, pairs):
        others = [
            figures_of(problem, plan).objective
            for plan in plans
            if one.pair not in plan and len(set(plan) - set(pairs)) == 1
        ]
        if one.fixed or not others:
            assert one.next_best is None
            continue
        assert one.of == 1 + len(others)
        assert one.rank == 1 + sum(other < now - 1e-13 for other in others)
        assert one.loss == pytest.approx(min(others) - now, abs=1e-12)


def test_under_a_scheme_no_single_cross_has_a_substitute() -> None:
    problem = Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, 2, scheme=Scheme(1, 1))
    assert all(one.next_best is None for one in standings(problem, ((0, 0), (1, 1))))


ROWS = [
    ParentRow("A"), ParentRow("B"), ParentRow("C"), ParentRow("D"), ParentRow("never bred"),
    ParentRow("AB", "A", "B"), ParentRow("AC", "A", "C"), ParentRow("ABAC", "AB", "AC"), ParentRow("half", "AB", None),
]  # fmt: skip


def test_founder_shares_of_a_fish_are_those_it_contributes_alone() -> None:
    # Second opinion: contributions to a group of that one fish, by the pass from young to parents.
    pedigree = build_pedigree(ROWS)
    fish = [row.fish for row in ROWS]
    found = founders_of(pedigree, {"ABAC": 3, "half": 1}, pedigree.positions(fish))
    for one, shares in zip(fish, found.in_fish, strict=True):
        assert shares == pytest.approx(contributions(pedigree, [one]).of_founders)
    assert found.in_stock == pytest.approx(contributions(pedigree, {"ABAC": 3, "half": 1}).of_founders)


def test_a_cross_serves_the_founders_that_hold_less_than_an_equal_share() -> None:
    pedigree = build_pedigree(ROWS)
    fish = ("AC", "D", "AB", "C")
    problem = Problem(fish[:2], fish[2:], kinship_among(pedigree, fish), 1)
    found = founders_of(pedigree, {"ABAC": 6, "AC": 1, "C": 1}, pedigree.positions(fish))
    # ABAC has a half of A and a quarter each of B and C. So the stock holds A 7/16, B 3/16, C 6/16 and none of D, where
    # each of the four would hold a quarter.
    assert served_by(problem, found, (1, 1)) == [Served("D", 0.0, 0.5)]
    assert served_by(problem, found, (1, 0)) == [Served("D", 0.0, 0.5), Served("B", 3 / 16, 0.25)]
    assert served_by(problem, found, (0, 1)) == []


@settings(max_examples=4)
@given(st.integers(0, 100_000))
def test_a_pair_asked_about_is_told_with_the_limit_or_with_what_it_would_cost(seed: int) -> None:
    problem = season(seed)
    plans = every_plan(problem)
    assume(plans)
    plan = best_plan(problem, EFFORT)
    for pair in np.ndindex(3, 4):
        asked = ask_about(plan, pair, EFFORT)
        if pair in plan.pairs:
            others = [one for one in plans if pair not in one]
        else:
            others = [one for one in plans if pair in one]
        assert asked.in_plan == (pair in plan.pairs)
        if asked.other is None:
            assert not others
            assert asked.limits or asked.spent or asked.blocking or pair in problem.fixed
        else:
            least = min(figures_of(problem, one).objective for one in others)
            assert asked.worse == pytest.approx(least - plan.figures.objective, abs=1e-12)
            assert 0 <= asked.worse_at_least <= asked.worse + 1e-12


def test_a_forbidden_pair_is_told_with_all_its_limits() -> None:
    first = np.array([[True, False], [False, False]])
    problem = Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, 1, ruled_out={"repeat": first, "forbid": first})
    assert ask_about(best_plan(problem), (0, 0), EFFORT).limits == ("repeat", "forbid")


def test_a_fish_used_up_by_crosses_made_is_told_with_its_limit() -> None:
    most = {"eggs": np.array([1, 9, 9, 9])}
    problem = Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, 2, most=most, fixed=((0, 0),))
    assert ask_about(best_plan(problem), (0, 1), EFFORT).spent == (("D1", "eggs"),)


def test_a_pair_too_many_is_told_with_the_number_of_crosses() -> None:
    problem = Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, 1, fixed=((0, 0),))
    assert ask_about(best_plan(problem), (1, 1), EFFORT).blocking == ("crosses",)
