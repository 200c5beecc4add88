"""Whether there is a plan, and who and what stands in the way; networkx is the second opinion."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breeding.planning.feasible import Blocking, InfeasibleError, check_feasible, has_pairs
from breeding.planning.problem import NO_LIMIT, Problem, Scheme, uses_of
from tests.breeding.planning.cases import every_plan, season


def two_by_two(crosses: int, **limits: object) -> Problem:
    return Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, crosses, **limits)  # type: ignore[arg-type]


def blocking(problem: Problem) -> InfeasibleError:
    with pytest.raises(InfeasibleError) as caught:
        check_feasible(problem)
    return caught.value


@given(st.integers(0, 100_000))
def test_a_season_is_refused_just_when_there_is_no_plan(seed: int) -> None:
    problem = season(seed)
    if every_plan(problem):
        check_feasible(problem)
    else:
        assert blocking(problem).blocking


@given(st.integers(0, 100_000))
def test_the_number_of_crosses_that_fit_is_that_of_a_flow(seed: int) -> None:
    random = np.random.default_rng(seed)
    most, forbidden = random.integers(0, 4, 9), random.random((4, 5)) < 0.5
    names = ("D1", "D2", "D3", "D4"), ("S1", "S2", "S3", "S4", "S5")
    problem = Problem(*names, np.eye(9) / 2, 20, most={"max_crosses": most}, ruled_out={"forbid": forbidden})
    graph = nx.DiGraph()
    graph.add_edges_from(("source", dam, {"capacity": int(most[dam])}) for dam in range(4))
    graph.add_edges_from((4 + sire, "sink", {"capacity": int(most[4 + sire])}) for sire in range(5))
    graph.add_edges_from((dam, 4 + sire, {"capacity": 1}) for dam, sire in np.argwhere(~forbidden).tolist())
    assert blocking(problem).possible == nx.maximum_flow_value(graph, "source", "sink")


def test_a_male_with_too_little_milt_is_named_with_his_limit() -> None:
    most = {"milt": np.array([NO_LIMIT, NO_LIMIT, 1, 0])}
    error = blocking(two_by_two(2, most=most))
    assert error.blocking == [Blocking("milt", "S1"), Blocking("milt", "S2")]
    assert str(error).startswith("No plan of 2 crosses lies within the limits; 1 can be made. In the way: milt.")


def test_the_tightest_of_two_limits_is_named() -> None:
    most = {"eggs": np.array([3, 3, NO_LIMIT, NO_LIMIT]), "max_per_dam": np.array([1, 1, NO_LIMIT, NO_LIMIT])}
    assert {one.limit for one in blocking(two_by_two(3, most=most)).blocking} == {"max_per_dam"}


def test_a_female_without_an_allowed_male_is_named_with_the_limit_on_pairs() -> None:
    ruled_out = {"max_kinship": np.array([[True, True], [False, False]])}
    found = blocking(two_by_two(3, ruled_out=ruled_out)).blocking
    assert Blocking("max_kinship", "D1") in found
    assert Blocking("max_kinship", "D2") not in found


def test_more_crosses_than_pairs_are_refused_since_a_pair_is_made_once() -> None:
    error = blocking(two_by_two(5))
    assert error.possible == 4
    assert {one.limit for one in error.blocking} == {"each_pair_once"}


def test_fish_that_cannot_get_their_least_uses_are_named() -> None:
    error = blocking(two_by_two(1, least=np.array([1, 1, 0, 0])))
    assert {one.limit for one in error.blocking} == {"least_uses"}
    assert {one.fish for one in error.blocking} <= {"D1", "D2"}


def test_crosses_made_beyond_a_limit_are_named() -> None:
    error = blocking(two_by_two(3, fixed=((0, 0), (0, 1)), most={"eggs": np.array([1, 4, 4, 4])}))
    assert error.blocking == [Blocking("eggs", "D1")]


def test_uses_may_add_up_and_still_have_no_pairs() -> None:
    problem = two_by_two(2)
    assert has_pairs(problem, uses_of(problem, ((0, 0), (1, 1))))
    assert not has_pairs(problem, np.array([2, 0, 2, 0]))  # one pair twice


def test_too_few_incubators_are_named() -> None:
    error = blocking(two_by_two(3, in_all={"incubators": 2}))
    assert error.blocking == [Blocking("incubators", "")]
    assert error.possible == 2


@pytest.mark.parametrize("limit", ["fewest_dams", "fewest_sires"])
def test_more_different_fish_than_the_crosses_can_use_are_named(limit: str) -> None:
    assert blocking(two_by_two(1, **{limit: 2})).blocking == [Blocking(limit, "")]


def test_different_fish_that_the_pairs_do_not_allow_are_named() -> None:
    ruled_out = {"forbid": np.array([[False, False], [True, True]])}
    assert Blocking("fewest_dams", "") in blocking(two_by_two(2, ruled_out=ruled_out, fewest_dams=2)).blocking


def test_a_number_of_crosses_that_the_scheme_does_not_divide_is_named() -> None:
    error = blocking(two_by_two(3, scheme=Scheme(2, 2)))
    assert (error.blocking, error.possible) == ([Blocking("scheme", "")], 2)


def test_a_scheme_without_fish_enough_is_named() -> None:
    error = blocking(two_by_two(4, scheme=Scheme(2, 1)))
    assert {one.limit for one in error.blocking} >= {"scheme"}
