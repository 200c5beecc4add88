"""Sentences name fish, limits and amounts."""

from dataclasses import replace

import numpy as np
import pytest

from breeding.planning.advice.asked import Asked, ask_about
from breeding.planning.advice.relaxation import Level
from breeding.planning.advice.standing import Served, Standing, standings
from breeding.planning.advice.told import (
    listed,
    per_cent,
    told_asked,
    told_blocking,
    told_proof,
    told_standing,
)
from breeding.planning.advice.told_ways import told_way
from breeding.planning.advice.ways_out import ways_out
from breeding.planning.feasible import InfeasibleError, check_feasible
from breeding.planning.plan import Effort, best_plan
from breeding.planning.problem import NO_LIMIT, LivingShare, Problem, Scheme

NAMES = {"milt": "milt doses", "kin": "closeness of a pair", "forbid": "the geneticist's word"}
EFFORT = Effort(seconds=5.0)


def two_by_two(crosses: int = 2, **limits: object) -> Problem:
    return Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, crosses, **limits)  # type: ignore[arg-type]


def test_names_stand_in_a_row_and_many_as_their_number() -> None:
    assert listed(["F1"]) == "F1"
    assert listed(["F1", "F2", "F3"]) == "F1, F2 and F3"
    assert listed([f"F{number}" for number in range(9)]) == "F0, F1, F2, F3 and 5 more"


def test_shares_have_as_many_decimals_as_tell_them_apart() -> None:
    assert per_cent(0.9629, 0.9631) == ["96.29 %", "96.31 %"]
    assert per_cent(0.96291, 0.96293) == ["96.291 %", "96.293 %"]
    assert per_cent(0.5, 0.5) == ["50.00 %", "50.00 %"]


def test_the_proof_says_what_no_plan_can_keep_more_of() -> None:
    plan = best_plan(two_by_two())
    assert told_proof(plan) == [
        "This plan keeps 87.50 % of gene diversity in the young; no plan within these limits can keep more."
    ]
    assert told_proof(replace(plan, lower_bound=0.1249, cut_short=True)) == [
        "No plan within these limits can keep more than 87.51 % of gene diversity in the young; this one keeps "
        "87.50 %.",
        "The work was ended before it was done: more time may find a better plan or a closer bound.",
    ]


def test_with_a_price_the_gap_is_told_of_what_the_plan_is_judged_by() -> None:
    plan = best_plan(two_by_two(price=0.1, living=LivingShare(0.1, np.full(4, 0.1), 0.5)))
    judged = "judged by gene diversity of living stock and young together and inbreeding of the young at a price of 0.1"
    assert told_proof(plan) == [f"No plan within these limits is better, {judged}."]
    (told,) = told_proof(replace(plan, lower_bound=0.999 * plan.figures.objective))
    assert told == f"No plan within these limits is more than 0.10 % better, {judged}."


def test_a_cross_is_told_with_its_place_and_founders() -> None:
    problem = two_by_two()
    standing = Standing((0, 0), 1, 7, (1, 0), 0.0125)
    assert told_standing(problem, standing, [Served(3, 0.02, 0.25)], {3: "F7"}) == [
        "It is the best of 7 pairs that could stand in its place; the next, D2 × S1, would cost 0.0125 of gene "
        "diversity of the young.",
        "It serves founders that are rarer than their equal share: F7 (2.0 % of the stock's genes, 25.0 % of its "
        "young's).",
    ]


@pytest.mark.parametrize(
    ("standing", "told"),
    [
        (Standing((0, 0), 1, 1, None, 0.0, fixed=True), "It was made already, or is locked: it is part of every plan."),
        (Standing((0, 0), 1, 1, None, 0.0), "No other pair could stand in its place within the limits."),
        (Standing((0, 0), 1, 3, (1, 1), 0.0), "Of 3 pairs that could stand in its place D2 × S2 would be as good."),
        (
            Standing((0, 0), 2, 3, (1, 1), -0.01),
            "It is number 2 of 3 pairs that could stand in its place: D2 × S2 would be better by 0.01.",
        ),
    ],
)
def test_the_place_of_a_cross(standing: Standing, told: str) -> None:
    assert told_standing(two_by_two(), standing, [], {}) == [told]


def test_under_a_scheme_a_cross_is_told_to_have_no_substitute() -> None:
    problem = two_by_two(scheme=Scheme(1, 1))
    (standing, _) = standings(problem, ((0, 0), (1, 1)))
    assert told_standing(problem, standing, [], {})[0].startswith("Under a scheme no single cross")


def test_a_pair_asked_about_is_refused_by_the_name_of_its_limit() -> None:
    forbid = np.array([[True, False], [False, False]])
    plan = best_plan(two_by_two(ruled_out={"forbid": forbid}))
    assert told_asked(plan, ask_about(plan, (0, 0), EFFORT), NAMES) == [
        "D1 × S1 may not be made: the geneticist's word."
    ]


def test_a_pair_asked_about_is_told_with_what_it_would_cost() -> None:
    kinship = np.array([[0.5, 0, 0.25, 0], [0, 0.5, 0, 0], [0.25, 0, 0.5, 0], [0, 0, 0, 0.5]])
    plan = best_plan(Problem(("D1", "D2"), ("S1", "S2"), kinship, 1))
    assert plan.pairs == ((0, 1),)
    told = told_asked(plan, ask_about(plan, (0, 0), EFFORT), NAMES)
    assert told == [
        "The best plan found with D1 × S1 would be worse by 0.125, judged by gene diversity of the young (that is "
        "proven)."
    ]
    other = told_asked(plan, ask_about(plan, (1, 0), EFFORT), NAMES)
    assert other == ["The plan with D2 × S1 would be as good as this one, judged by gene diversity of the young."]


def test_a_pair_that_leaves_no_plan_is_told_with_what_is_in_the_way() -> None:
    plan = best_plan(two_by_two())
    told = told_asked(plan, Asked((0, 1), in_plan=False, blocking=("milt",)), NAMES)
    assert told == ["There is no plan with D1 × S2 within the limits; in the way: milt doses."]


def test_what_blocks_is_told_limit_by_limit() -> None:
    problem = two_by_two(4, most={"milt": np.array([NO_LIMIT, NO_LIMIT, 1, 1])})
    with pytest.raises(InfeasibleError) as caught:
        check_feasible(problem)
    assert told_blocking(caught.value.blocking, NAMES) == ["Milt doses: S1 and S2."]


def test_ways_out_are_told_as_amounts() -> None:
    problem = two_by_two(4, most={"milt": np.array([NO_LIMIT, NO_LIMIT, 1, 1])})
    assert [told_way(problem, way, NAMES) for way in ways_out(problem)] == [
        "Allow 1 more cross a fish by the limit “milt doses” (in the way: S1 and S2).",
        "Ask for 2 crosses in place of 4.",
        "Find 2 more males that may meet any mate.",
    ]


def test_a_limit_on_kinship_is_told_with_both_values_and_the_pairs_that_it_opens() -> None:
    kinship = np.array([[0.125, 0.25], [0.1875, 0.25]])
    problem = two_by_two(1, ruled_out={"kin": kinship > 0.1})
    way, *_ = ways_out(problem, {"kin": Level(0.1, kinship, reached=True)})
    assert told_way(problem, way, NAMES) == (
        "Raise the limit “closeness of a pair” from 0.1 to 0.125, which opens 1 pair: D1 × S1."
    )
