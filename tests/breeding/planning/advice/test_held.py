"""Which limits a plan meets, and which a set of crosses breaks."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breeding.planning.advice.held import Binding, Broken, binding_of, broken_by
from breeding.planning.problem import NO_LIMIT, Problem, Scheme
from tests.breeding.planning.cases import season, season_by_scheme, within_limits


def two_by_two(crosses: int = 2, **limits: object) -> Problem:
    return Problem(("D1", "D2"), ("S1", "S2"), np.eye(4) / 2, crosses, **limits)  # type: ignore[arg-type]


@settings(max_examples=60)
@given(st.integers(0, 100_000), st.booleans(), st.integers(1, 6))
def test_nothing_is_broken_just_when_every_limit_is_kept(seed: int, by_scheme: bool, count: int) -> None:
    problem = season_by_scheme(seed) if by_scheme else season(seed)
    cells = np.random.default_rng(seed).permutation(12)[:count]
    pairs = tuple(sorted(divmod(int(cell), 4) for cell in cells))
    assert (broken_by(problem, pairs) == []) == within_limits(problem, pairs)


@pytest.mark.parametrize(
    ("limits", "pairs", "broken"),
    [
        ({}, ((0, 0),), Broken("crosses", (), 1, 2)),
        ({"in_all": {"incubators": 1}}, ((0, 0), (1, 1)), Broken("incubators", (), 2, 1)),
        ({"fewest_dams": 2}, ((0, 0), (0, 1)), Broken("fewest_dams", (), 1, 2)),
        ({"fewest_sires": 2}, ((0, 0), (1, 0)), Broken("fewest_sires", (), 1, 2)),
        ({"most": {"milt": np.array([9, 9, 1, 9])}}, ((0, 0), (1, 0)), Broken("milt", ("S1",), 2, 1)),
        ({"scheme": Scheme(1, 1)}, ((0, 0), (0, 1)), Broken("scheme", ("D1",), 2, 1)),
        ({"least": np.array([0, 1, 0, 0])}, ((0, 0), (0, 1)), Broken("least_uses", ("D2",), 0, 1)),
        ({"fixed": ((1, 1),)}, ((0, 0), (0, 1)), Broken("fixed", ("D2", "S2"), 0, 1)),
        ({"ruled_out": {"repeat": np.eye(2, dtype=bool)}}, ((0, 0), (0, 1)), Broken("repeat", ("D1", "S1"), 1, 0)),
    ],
)
def test_a_broken_limit_is_named_with_what_was_found_and_what_may_be(limits, pairs, broken) -> None:
    assert broken_by(two_by_two(**limits), pairs) == [broken]


def test_limits_on_numbers_met_with_equality_are_named() -> None:
    most = {"milt": np.array([NO_LIMIT, NO_LIMIT, 1, 2])}
    problem = two_by_two(most=most, in_all={"incubators": 2}, fewest_dams=2, fewest_sires=1)
    assert binding_of(problem, ((0, 0), (1, 1))) == [
        Binding("milt", "S1", 1),
        Binding("incubators", "", 2),
        Binding("fewest_dams", "", 2),
    ]
