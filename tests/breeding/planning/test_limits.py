"""Limits that cannot be are refused when they are set."""

import pytest

from breeding.planning.limits import Limits


def test_without_limits_every_kinship_is_allowed() -> None:
    assert Limits().allows_kinship(1.0)


def test_a_kinship_equal_to_the_limit_is_allowed_and_one_above_is_not() -> None:
    limits = Limits(0.125)
    assert limits.allows_kinship(0.125 + 1e-13)
    assert not limits.allows_kinship(0.1251)


@pytest.mark.parametrize("limit", [-0.1, 1.1, float("nan"), float("inf")])
def test_a_kinship_limit_outside_nought_to_one_is_refused(limit: float) -> None:
    with pytest.raises(ValueError, match=f"The kinship limit is {limit}; it must be between 0 and 1"):
        Limits(limit)


@pytest.mark.parametrize("left", [-1, 1.5])
def test_crosses_left_that_are_no_whole_number_are_refused(left: float) -> None:
    with pytest.raises(ValueError, match=f"Fish F1 has {left} crosses left; give a whole number"):
        Limits(crosses_left={"F1": left})
