"""Exchanges of one cross: the figures are those of the plan computed afresh, and no limit is broken by them."""

import numpy as np

from breeding.planning.advice.alternatives import in_place_of, instead_of
from breeding.planning.advice.held import broken_by
from breeding.planning.objective import figures_of
from breeding.planning.plan import best_plan
from breeding.planning.problem import Problem

# Founders F1, F2 and M1, M2 unrelated; F3 full sib of M3 (kinship ¼, Falconer & Mackay 1996, chapter 5, from memory).
KINSHIP = np.full((6, 6), 0.0)
np.fill_diagonal(KINSHIP, 0.5)
KINSHIP[2, 5] = KINSHIP[5, 2] = 0.25


def problem(**more: object) -> Problem:
    given = {"most": {"max_crosses": np.full(6, 1)}} | more
    return Problem(("F1", "F2", "F3"), ("M1", "M2", "M3"), KINSHIP, 2, **given)  # type: ignore[arg-type]


def test_what_could_stand_in_place_is_ordered_by_the_plan_that_it_makes() -> None:
    asked, pairs = problem(), [(0, 0), (1, 1)]
    found = instead_of(asked, pairs, (1, 1), 20)

    assert {one.added for one in found} == {(1, 2), (2, 1), (2, 2)}
    for one in found:
        changed = [(0, 0), one.added]
        assert not broken_by(asked, changed)
        assert abs(one.worse - figures_of(asked, changed).objective + figures_of(asked, pairs).objective) < 1e-12
    assert found[-1].added == (2, 2)
    assert [one.worse for one in found] == sorted(one.worse for one in found)


def test_no_exchange_makes_a_proven_plan_better() -> None:
    asked = problem()
    plan = best_plan(asked)
    assert plan.proven
    for pair in plan.pairs:
        assert all(one.worse >= -1e-12 for one in instead_of(asked, plan.pairs, pair, 20))


def test_a_pair_may_only_take_the_place_of_crosses_that_leave_room_for_it() -> None:
    asked, pairs = problem(), [(0, 0), (1, 1)]
    assert [one.lost for one in in_place_of(asked, pairs, (1, 2))] == [(1, 1)]
    assert {one.lost for one in in_place_of(asked, pairs, (2, 2))} == {(0, 0), (1, 1)}


def test_a_locked_cross_does_not_give_way() -> None:
    asked = problem(fixed=((0, 0),))
    assert [one.lost for one in in_place_of(asked, [(0, 0), (1, 1)], (2, 2))] == [(1, 1)]


def test_a_pair_that_is_ruled_out_is_no_alternative() -> None:
    ruled = np.zeros((3, 3), dtype=bool)
    ruled[2, 1] = True
    found = instead_of(problem(ruled_out={"forbidden": ruled}), [(0, 0), (1, 1)], (1, 1), 20)
    assert (2, 1) not in {one.added for one in found}
