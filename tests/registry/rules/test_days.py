"""Days as far as they are known."""

from datetime import date

from registry.rules.days import Day, surely_before


def test_a_year_ends_on_its_last_day_and_february_on_its_own() -> None:
    assert Day(date(2008, 1, 1), "year").last == date(2008, 12, 31)
    assert Day(date(2008, 2, 1), "month").last == date(2008, 2, 29)
    assert Day(date(2009, 2, 1), "month").last == date(2009, 2, 28)


def test_days_are_said_as_far_as_they_are_known() -> None:
    assert [str(Day(date(2026, 5, 3), p)) for p in ("day", "month", "year")] == ["3 May 2026", "May 2026", "2026"]


def test_a_year_is_not_surely_before_a_day_in_it() -> None:
    assert not surely_before(Day(date(2008, 1, 1), "year"), Day(date(2008, 6, 1)))
    assert surely_before(Day(date(2008, 1, 1), "year"), Day(date(2009, 1, 1)))
