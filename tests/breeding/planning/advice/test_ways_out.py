"""The smallest relaxations, against every plan there is."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breeding.planning.advice.lifted import without
from breeding.planning.advice.relaxation import (
    CROSSES,
    FEWER_FISH,
    FEWER_MUSTS,
    FISH,
    LEVEL,
    LIFTED,
    PAIRS,
    ROOM,
    USES,
    Level,
    Relaxation,
    WayOut,
)  # fmt: skip
from breeding.planning.advice.ways_out import ways_out
from breeding.planning.problem import NO_LIMIT, Problem, Scheme
from tests.breeding.planning.cases import every_plan, season, season_by_scheme


def two_by_two(crosses: int, **limits: object) -> Problem:
    return Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, crosses, **limits)  # type: ignore[arg-type]


def with_less(problem: Problem, one: Relaxation, less: int = 0) -> Problem | None:
    """Return the problem relaxed as told, or by so much less; None where that cannot be said of it."""
    by, name = int(one.by) - less, one.limit
    if one.how == USES:
        named = np.isin(problem.fish, one.fish) if one.fish else True
        most = np.where(named, problem.most[name] + by, problem.most[name])
        return replace(problem, most={**problem.most, name: most})
    if one.how == PAIRS and not less:
        opened = problem.ruled_out[name].copy()
        for dam, sire in one.pairs:
            opened[problem.dams.index(dam), problem.sires.index(sire)] = False
        return replace(problem, ruled_out={**problem.ruled_out, name: opened})
    if one.how == ROOM:
        return replace(problem, in_all={**problem.in_all, name: problem.in_all[name] + by})
    if one.how == FEWER_FISH:
        return replace(problem, **{name: getattr(problem, name) - by})
    if one.how == FEWER_MUSTS:
        named = np.isin(problem.fish, one.fish) if one.fish else True
        return replace(problem, least=np.where(named, np.maximum(problem.least - by, 0), problem.least))
    if one.how == CROSSES:
        up = int(one.value) > problem.crosses
        return replace(problem, crosses=problem.crosses + (by if up else -by))
    return without(problem, "scheme") if one.how == LIFTED and not less else None


def relaxed(problem: Problem, way: WayOut) -> Problem:
    for part in way.parts:
        found = with_less(problem, part)
        assert found is not None
        problem = found
    return problem


def impossible(seed: int) -> Problem:
    """Return the first season from a seed on that has no plan, often since it asks for too many crosses."""
    while True:
        seed += 1
        problem = season_by_scheme(seed) if seed % 4 == 0 else season(seed)
        if seed % 3 == 0 and problem.scheme is None:
            problem = replace(problem, crosses=problem.crosses + 4)
        if not every_plan(problem):
            return problem


@settings(max_examples=40)
@given(st.integers(0, 100_000))
def test_each_way_out_leads_to_a_plan_and_less_of_it_does_not(seed: int) -> None:
    problem = impossible(seed)
    ways = ways_out(problem)
    for way in ways:
        if way.parts[0].how == FISH:
            continue
        alone = len(way.parts) == 1
        # An amount that goes for all fish: whom it is named for only says who stands in the way.
        parts = tuple(replace(part, fish=()) if alone else part for part in way.parts)
        assert every_plan(relaxed(problem, WayOut(parts))), way
        less = with_less(problem, parts[0], 1) if alone else None
        assert less is None or not every_plan(less), way
    assert any(len(way.parts) > 1 or way.parts[0].how not in (CROSSES, FISH) for way in ways)


def test_there_is_no_way_out_of_what_is_possible() -> None:
    assert ways_out(two_by_two(2)) == []


def test_males_with_too_little_milt_need_a_dose_more_each_or_one_male_more() -> None:
    ways = ways_out(two_by_two(4, most={"milt": np.array([NO_LIMIT, NO_LIMIT, 1, 2])}))
    assert ways == [
        WayOut((Relaxation("milt", USES, 1, fish=("S1",)),)),
        WayOut((Relaxation(CROSSES, CROSSES, 1, 3),)),
        WayOut((Relaxation("sires", FISH, 1),)),
    ]


def test_a_limit_on_kinship_is_raised_to_the_next_degree_that_is_enough() -> None:
    kinship = np.array([[0.125, 0.25], [0.1875, 0.25]])
    ruled_out = {"max_kinship": kinship >= 0.125}
    way, *_ = ways_out(two_by_two(2, ruled_out=ruled_out), {"max_kinship": Level(0.125, kinship)})
    (part,) = way.parts
    # The two pairs below a quarter are enough; a pair that reaches the limit is ruled out, so it lies just above.
    assert (part.how, part.value, part.pairs) == (LEVEL, 0.1876, (("D1", "S1"), ("D2", "S1")))
    assert part.by == pytest.approx(0.0626)


def test_a_limit_that_may_be_reached_is_raised_to_the_degree_itself() -> None:
    kinship = np.array([[0.125, 0.25], [0.1875, 0.25]])
    ruled_out = {"max_kinship": kinship > 0.1}
    way, *_ = ways_out(two_by_two(2, ruled_out=ruled_out), {"max_kinship": Level(0.1, kinship, reached=True)})
    assert way.parts[0].value == 0.1875


def test_forbidden_pairs_are_opened_as_few_as_will_do() -> None:
    forbidden = {"forbid": np.array([[True, True], [True, False]])}
    way, *_ = ways_out(two_by_two(2, ruled_out=forbidden))
    assert (way.parts[0].how, way.parts[0].by) == (PAIRS, 1)


def test_limits_that_block_together_are_relaxed_together() -> None:
    ruled_out = {"forbid": np.array([[False, True], [True, True]])}
    problem = two_by_two(2, ruled_out=ruled_out, most={"milt": np.array([NO_LIMIT, NO_LIMIT, 1, 0])})
    ways = [way for way in ways_out(problem) if len(way.parts) > 1]
    assert len(ways) == 1
    assert {part.limit for part in ways[0].parts} == {"forbid", "milt"}


def test_a_scheme_that_cannot_be_kept_is_told_with_the_numbers_that_can() -> None:
    ways = ways_out(two_by_two(3, scheme=Scheme(2, 2)))
    assert WayOut((Relaxation("scheme", LIFTED, 1),)) in ways
    assert WayOut((Relaxation(CROSSES, CROSSES, 1, 4),)) in ways
