"""Ticks are round numbers that enclose the values; dates are told in years, months or days."""

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breeding.figures.parts.axes import Scale, date_ticks, day_words, finite, round_step, round_ticks, tick_words


@pytest.mark.parametrize(
    ("low", "high", "ticks"),
    [
        (0, 100, [0, 20, 40, 60, 80, 100]),
        (0, 7, [0, 2, 4, 6, 8]),
        (3, 97, [0, 20, 40, 60, 80, 100]),
        (0.5, 1.0, [0.5, 0.6, 0.7, 0.8, 0.9, 1.0]),
        (-3, 4, [-4, -2, 0, 2, 4]),
        (0, 0.0013, [0, 0.0005, 0.001, 0.0015]),
        (12, 12, [0, 5, 10, 15]),
        (-12, -12, [-15, -10, -5, 0]),
        (0, 0, [0, 0.2, 0.4, 0.6, 0.8, 1.0]),
    ],
)
def test_ticks_are_round_and_enclose_the_values(low: float, high: float, ticks: list[float]) -> None:
    # Worked by hand: steps of 1, 2 or 5 times a power of ten.
    assert round_ticks(low, high) == ticks


@given(st.floats(-1e9, 1e9), st.floats(1e-6, 1e9))
def test_ticks_enclose_any_range_in_few_even_steps(low: float, span: float) -> None:
    ticks = round_ticks(low, low + span)
    step = ticks[1] - ticks[0]
    slack = 1e-6 * step + 1e-6 * max(abs(low), 1) * (span < 1)
    assert ticks[0] <= low + slack
    assert ticks[-1] >= low + span - slack
    assert len(ticks) <= 8
    assert all(b > a for a, b in pairwise(ticks))


def test_a_step_is_the_smallest_round_one_that_is_few_enough() -> None:
    assert [round_step(span, 5) for span in (1, 4, 5, 6, 10, 11, 30)] == [0.2, 1, 1, 2, 2, 5, 10]


def test_numbers_beside_the_rule_have_the_same_decimals() -> None:
    assert tick_words([0.0, 0.5, 1.0]) == ["0.0", "0.5", "1.0"]
    assert tick_words([0, 500, 1000]) == ["0", "500", "1\N{NARROW NO-BREAK SPACE}000"]
    assert tick_words([0.0, 0.02, 0.04]) == ["0.00", "0.02", "0.04"]


def test_a_scale_maps_its_ends_and_the_middle() -> None:
    scale = Scale(10, 20, 100, 0)
    assert [scale.at(value) for value in (10, 15, 20)] == [100, 50, 0]


def test_a_scale_of_one_value_puts_it_in_the_middle() -> None:
    assert Scale(5, 5, 0, 80).at(5) == 40


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (date(2014, 5, 3), date(2022, 5, 11), ["2016", "2018", "2020", "2022"]),
        (date(2020, 1, 1), date(2024, 1, 1), ["2020", "2021", "2022", "2023", "2024"]),
        (date(2023, 11, 20), date(2024, 3, 2), ["Dec 2023", "Jan 2024", "Feb", "Mar"]),
        (date(2024, 5, 3), date(2024, 5, 9), ["3 May 2024", "4 May", "5 May", "6 May", "7 May", "8 May", "9 May"]),
        (date(2024, 5, 3), date(2024, 6, 20), ["3 May 2024", "13 May", "23 May", "2 Jun", "12 Jun"]),
        (date(2024, 5, 3), date(2024, 5, 3), ["3 May 2024"]),
    ],
)
def test_dates_are_told_in_the_unit_that_fits_their_span(first: date, last: date, words: list[str]) -> None:
    assert [text for _, text in date_ticks(first, last)] == words


@given(st.dates(date(1900, 1, 1), date(2100, 1, 1)), st.integers(0, 40000))
def test_date_ticks_lie_within_their_span_and_are_few(first: date, days: int) -> None:
    last = date.fromordinal(first.toordinal() + days)
    ticks = [day for day, _ in date_ticks(first, last)]
    assert ticks
    assert first <= ticks[0] <= ticks[-1] <= last
    assert len(ticks) <= 9


def test_a_date_stands_as_on_pages() -> None:
    assert day_words(date(2026, 5, 3)) == "3 May 2026"


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_value_that_is_no_number_is_named(value: float) -> None:
    with pytest.raises(ValueError, match=f"Length: value 2 is {value}"):
        finite([1.0, value], "Length")
