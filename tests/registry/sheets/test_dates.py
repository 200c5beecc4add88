"""Days as they stand in a hatchery's books. The notations are common practice, no source."""

# ruff: noqa: DTZ001 (a spreadsheet knows no time zone)
from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.sheets.cells import UnsavedFormula
from registry.sheets.dates import read_day

AS_OF = date(2025, 11, 30)


def day_of(cell, order=None):
    """Return (day in ISO form, warnings) of a cell that must be understood."""
    reading = read_day(cell, AS_OF, order)
    assert not reading.refused, reading.objections
    return reading.value.iso, [o.code for o in reading.objections]


def objection_to(cell, order=None):
    reading = read_day(cell, AS_OF, order)
    assert reading.refused
    assert reading.value is None
    return reading.objections[0]


@pytest.mark.parametrize(
    "cell",
    [
        date(2019, 5, 3),
        datetime(2019, 5, 3, 14, 20),
        "2019-05-03",
        "2019/5/3",
        "2019.05.03",
        "20190503",
        20190503,
        "3.5.2019",
        "03.05.2019",
        "3. 5. 2019",
        "3 May 2019",
        "03-May-2019",
        "3rd May 2019",
        "3.V.2019",
        "3 v 2019",
        "3. Mai 2019",
        "May 3, 2019",
        "2019-05-03 14:20",
        "2019-05-03T14:20:00Z",
        "'2019-05-03",
        " 3\xa0May 2019 ",
    ],
)
def test_the_third_of_may_is_understood_in_every_notation(cell):
    assert day_of(cell) == ("2019-05-03", [])


@pytest.mark.parametrize("cell", [None, "", "  ", "\xa0"])
def test_a_blank_cell_is_no_day_and_no_fault(cell):
    reading = read_day(cell, AS_OF)
    assert (reading.value, reading.objections) == (None, ())


@pytest.mark.parametrize(
    ("cell", "order", "expected"),
    [
        ("23/05/2019", None, "2019-05-23"),
        ("05/23/2019", None, "2019-05-23"),
        ("05/05/2019", None, "2019-05-05"),
        ("23-05-2019", None, "2019-05-23"),
        ("03/05/2019", "dmy", "2019-05-03"),
        ("03/05/2019", "mdy", "2019-03-05"),
    ],
)
def test_slashes_are_read_where_they_can_be_read_one_way_or_the_order_is_told(cell, order, expected):
    assert day_of(cell, order)[0] == expected


@pytest.mark.parametrize("cell", ["03/05/2019", "3/5/19", "3-5-2019", "12/11/2018"])
def test_a_day_whose_order_cannot_be_told_is_refused(cell):
    objection = objection_to(cell)
    assert objection.code == "ambiguous_date"
    assert "can be read with the day first or the month first" in objection.message


def test_a_day_that_contradicts_the_order_told_is_refused():
    assert objection_to("05/23/2019", "dmy").code == "bad_date"


@pytest.mark.parametrize(
    ("cell", "expected"),
    [("8.8.97", "1997-08-08"), ("1.5.08", "2008-05-01"), ("3.5.25", "2025-05-03"), ("3.5.26", "1926-05-03")],
)
def test_two_figures_of_a_year_are_read_with_the_century_that_fits(cell, expected):
    assert day_of(cell) == (expected, ["two_digit_year"])


@pytest.mark.parametrize("cell", [2008, "2008", 2008.0])
def test_a_year_alone_is_kept_as_a_year(cell):
    assert day_of(cell) == ("2008", ["year_only"])


@pytest.mark.parametrize("cell", ["May 2008", "2008-05", "05/2008", "5.2008", "May-2008"])
def test_a_month_alone_is_kept_as_a_month(cell):
    assert day_of(cell) == ("2008-05", ["month_only"])


@pytest.mark.parametrize("cell", [39585, "39585", 39585.75])
def test_a_spreadsheet_day_number_is_read_with_a_warning(cell):
    # ECMA-376 part 1, 18.17.4.1: serial 1 is 1 January 1900; 39585 is 17 May 2008.
    assert day_of(cell) == ("2008-05-17", ["excel_serial"])


@pytest.mark.parametrize(
    "cell", ["31 April 2015", "31.04.2019", "2011-04-31", "29.2.2019", "2019-13-01", "32 May 2019", "2019-00"]
)
def test_a_day_that_the_calendar_has_not_is_refused(cell):
    objection = objection_to(cell)
    assert objection.code == "bad_date"
    assert "is no day of the calendar" in objection.message


@pytest.mark.parametrize("cell", ["spring", "many", "3 Foo 2019", "0019-05-03", "12", True, 3.5, "<script>"])
def test_what_is_no_date_is_refused(cell):
    assert objection_to(cell).code == "bad_date"


@pytest.mark.parametrize("cell", ["2031-05-14", datetime(2025, 12, 1), "14.06.2034", "2026", "Dec 2025"])
def test_a_day_after_the_day_of_entry_is_refused(cell):
    objection = objection_to(cell)
    assert objection.code == "future_date"
    assert "lies after 2025-11-30" in objection.message


def test_the_day_and_the_year_of_entry_are_not_yet_future():
    assert day_of("2025-11-30") == ("2025-11-30", [])
    assert day_of("2025") == ("2025", ["year_only"])


def test_a_formula_or_an_error_in_place_of_a_day_is_named():
    assert objection_to(UnsavedFormula("A1+1")).code == "formula_without_value"
    assert objection_to("#REF!").code == "error_value"


@given(st.dates(date(1900, 3, 1), AS_OF))
def test_every_day_comes_back_from_the_notations_that_have_one_meaning(day):
    for written in (day.isoformat(), f"{day:%d.%m.%Y}", f"{day.day} {day:%B} {day.year}", f"{day:%d-%b-%Y}"):
        assert day_of(written) == (day.isoformat(), [])


@given(st.text(max_size=30) | st.integers() | st.floats())
def test_nothing_whatever_breaks_the_reading_of_a_day(cell):
    reading = read_day(cell, AS_OF)
    assert not (reading.refused and reading.value)
