"""A day as far as it is known: the day, the month or only the year."""

import calendar
from dataclasses import dataclass
from datetime import date

DAY, MONTH, YEAR = "day", "month", "year"


@dataclass(frozen=True, slots=True)
class Day:
    """A stretch of one day, one month or one year, by its first day."""

    first: date
    precision: str = DAY

    @property
    def last(self) -> date:
        """Return the last day it may have been."""
        if self.precision == YEAR:
            return self.first.replace(month=12, day=31)
        if self.precision == MONTH:
            return self.first.replace(day=calendar.monthrange(self.first.year, self.first.month)[1])
        return self.first

    @property
    def iso(self) -> str:
        """Return 2008-05-17, 2008-05 or 2008."""
        return self.first.isoformat()[: {DAY: 10, MONTH: 7, YEAR: 4}[self.precision]]

    def __str__(self) -> str:
        if self.precision == YEAR:
            return str(self.first.year)
        month = calendar.month_name[self.first.month]
        return f"{month} {self.first.year}" if self.precision == MONTH else spoken(self.first)


def spoken(day: date) -> str:
    """Return a day as it is said and shown: 3 May 2026."""
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"


def surely_before(one: Day, other: Day) -> bool:
    """Return whether `one` lies before `other` whatever the days not known."""
    return one.last < other.first
