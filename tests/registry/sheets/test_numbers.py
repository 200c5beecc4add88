"""Counts, amounts and measures as they stand in a hatchery's books. The notations are common practice, no source."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.sheets.numbers import read_count, read_length, read_mass, read_number, read_percent


def taken(reading):
    """Return (value, warnings) of a reading that must be understood."""
    assert not reading.refused, reading.objections
    return reading.value, [o.code for o in reading.objections]


def code_of(reading) -> str:
    assert reading.refused
    assert reading.value is None
    return reading.objections[0].code


@pytest.mark.parametrize(
    ("cell", "count", "warned"),
    [
        (12400, 12400, []),
        (12400.0, 12400, []),
        ("12400", 12400, []),
        ("12 400", 12400, []),
        ("12\xa0400", 12400, []),
        ("1 234 567", 1234567, []),
        ("12'400", 12400, []),
        ("'12400", 12400, []),
        ("12.400", 12400, ["thousands_separator"]),
        ("12,400", 12400, ["thousands_separator"]),
        ("1,234,567", 1234567, ["thousands_separator"]),
        ("~12000", 12000, ["approximate"]),
        ("ca. 12 000", 12000, ["approximate"]),
        ("about 12,000", 12000, ["thousands_separator", "approximate"]),
        ("12k", 12000, ["k_suffix"]),
        ("12.5 k", 12500, ["k_suffix"]),
        ("~12k", 12000, ["k_suffix", "approximate"]),
        ("0", 0, []),
        ("25.0", 25, []),
    ],
)
def test_a_count_is_understood_in_the_usual_spellings(cell, count, warned):
    assert taken(read_count(cell)) == (count, warned)


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        (-250, "negative"),
        ("-250", "negative"),
        ("−1 250", "negative"),
        ("-12.4", "negative"),
        (12.4, "fraction"),
        ("12.4", "fraction"),
        ("12,45", "fraction"),
        ("0.123", "fraction"),
        ("many", "not_a_number"),
        ("12 40", "not_a_number"),
        ("1,234.567", "not_a_number"),
        ("9.0E+14", "not_a_number"),
        ("10000000000", "not_a_number"),
        (True, "not_a_number"),
        (float("nan"), "not_a_number"),
        ("", "missing_count"),
        (None, "missing_count"),
        ("#REF!", "error_value"),
    ],
)
def test_what_is_no_count_of_fish_is_refused(cell, code):
    assert code_of(read_count(cell)) == code


def test_a_count_that_is_not_needed_may_be_left_out():
    assert taken(read_count(" ", required=False)) == (None, [])


def test_a_refused_count_says_what_to_do():
    assert read_count("12.4").objections[0].message == (
        "12.4 is not a whole number, and fish are whole. Enter the count."
    )


@given(st.integers(0, 999_999_999))
def test_every_count_comes_back_however_its_thousands_are_parted(count):
    for separator in ("", " ", "\xa0", ",", "."):
        assert read_count(f"{count:,}".replace(",", separator)).value == count


@pytest.mark.parametrize(
    ("cell", "decimal", "number"),
    [
        (90.6, None, "90.6"),
        (0.1 + 0.2, None, "0.3"),
        ("90.6", None, "90.6"),
        ("90,6", None, "90.6"),
        ("33,50", "comma", "33.5"),
        ("1,250", "comma", "1.25"),
        ("1.234,5", None, "1234.5"),
        ("1,234.5", None, "1234.5"),
        ("1 234,5", None, "1234.5"),
        (".5", None, "0.5"),
        ("1.250", None, "1.25"),
        ("0,125", None, "0.125"),
        ("1500", None, "1500"),
    ],
)
def test_an_amount_is_read_with_decimal_point_or_comma(cell, decimal, number):
    assert taken(read_number(cell, decimal))[0] == Decimal(number)


@pytest.mark.parametrize(
    ("cell", "decimal", "number"), [("1,250", "point", 1250), ("1.250", "comma", 1250), ("1.234.567", None, 1234567)]
)
def test_a_sign_that_parts_thousands_is_warned_of(cell, decimal, number):
    assert taken(read_number(cell, decimal)) == (number, ["thousands_separator"])


def test_an_amount_that_could_be_a_thousand_times_another_is_refused_and_not_guessed():
    reading = read_number("1,250")
    assert code_of(reading) == "not_a_number"
    assert "Say which (--decimal point or comma)" in reading.objections[0].message


@pytest.mark.parametrize(
    ("cell", "decimal", "code"),
    [
        ("abc", None, "not_a_number"),
        ("1,2,3", None, "not_a_number"),
        ("1.2.3", "comma", "not_a_number"),
        ("12,5", "point", "not_a_number"),
        ("1e5", None, "not_a_number"),
        (float("inf"), None, "not_a_number"),
        ("-120.5", None, "negative"),
        (-1, None, "negative"),
    ],
)
def test_what_is_no_amount_is_refused(cell, decimal, code):
    assert code_of(read_number(cell, decimal)) == code


@pytest.mark.parametrize(
    ("cell", "percent", "warned"),
    [
        (76.5, "76.5", []),
        ("76.5 %", "76.5", []),
        ("64%", "64", []),
        ("0", "0", []),
        ("100", "100", []),
        ("0.5 %", "0.5", []),
        (1, "1", []),
        ("0.84", "84", ["fraction_percent"]),
        ("0,84", "84", ["fraction_percent"]),
    ],
)
def test_per_cent_is_read_and_a_share_is_warned_of(cell, percent, warned):
    assert taken(read_percent(cell)) == (Decimal(percent), warned)


@pytest.mark.parametrize("cell", [184, "184", "100.1 %", "-3", -3])
def test_per_cent_outside_0_to_100_is_refused(cell):
    assert code_of(read_percent(cell)) == "percent_range"


@pytest.mark.parametrize(
    ("cell", "unit", "mm"),
    [
        (74, "cm", 740),
        ("33,5", "cm", 335),
        ("67 cm", None, 670),
        ("1395 mm", "cm", 1395),
        ("1.58m", "cm", 1580),
        ("93 centimetres", None, 930),
        ("8450", "cm", 84500),
    ],
)
def test_a_length_is_kept_in_mm_and_the_unit_in_the_cell_goes_first(cell, unit, mm):
    assert taken(read_length(cell, unit)) == (mm, [])


@pytest.mark.parametrize(
    ("cell", "unit", "grams"),
    [(1480, "g", 1480), ("2,85kg", "g", 2850), ("130 g", None, 130), ("0.13 kg", "g", 130), ("49.8", "gram", "49.8")],
)
def test_a_weight_is_kept_in_g_and_the_unit_in_the_cell_goes_first(cell, unit, grams):
    assert taken(read_mass(cell, unit)) == (Decimal(grams), [])


@pytest.mark.parametrize(
    ("reading", "code"),
    [
        (read_length("74", None), "no_unit"),
        (read_length("74 kg", "cm"), "no_unit"),
        (read_mass("74", "cm"), "no_unit"),
        (read_length("long", "cm"), "not_a_number"),
        (read_mass("-1200", "g"), "negative"),
        (read_mass(-1200, "g"), "negative"),
        (read_mass("1,250 kg", "g"), "not_a_number"),
    ],
)
def test_a_measure_without_unit_or_number_is_refused(reading, code):
    assert code_of(reading) == code


def test_a_blank_measure_was_not_taken():
    for reading in (read_length(None, None), read_mass("", "g"), read_percent(" "), read_number(None)):
        assert taken(reading) == (None, [])


@given(st.text(max_size=20) | st.floats() | st.integers())
def test_nothing_whatever_breaks_the_reading_of_a_number(cell):
    readings = [read_count(cell), read_number(cell), read_percent(cell), read_length(cell, "cm"), read_mass(cell, None)]
    assert all(reading.value is None or reading.value >= 0 for reading in readings)
