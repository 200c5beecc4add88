"""A day as far as it is known: the day, the month or only the year; and a stay from a day until a day."""

import calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from registry.errors import Objection

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


@dataclass(frozen=True, slots=True)
class Period:
    """A stay at a place, from its first day until the first day on which it was over; open while `until` is None."""

    place: str
    since: date
    until: date | None = None

    def meets(self, other: "Period") -> bool:
        """Return whether the two share a day; a stay that ended as it began holds none."""
        if self.since == self.until or other.since == other.until:
            return False
        return self.since < (other.until or date.max) and other.since < (self.until or date.max)


def spoken(day: date) -> str:
    """Return a day as it is said and shown: 3 May 2026."""
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"


def surely_before(one: Day, other: Day) -> bool:
    """Return whether `one` lies before `other` whatever the days not known."""
    return one.last < other.first


def objections_to_period(
    stay: Period, others: Iterable[Period], today: date, there: tuple[date | None, date | None]
) -> list[Objection]:
    """Return why a stay cannot have been: days to come, before or after the owner was `there`, in two places."""
    found = []
    for field, day in (("since", stay.since), ("until", stay.until)):
        if day and day > today:
            found.append(Objection("future_date", field, f"{spoken(day)} lies in the future. Correct the day."))
    if stay.until and stay.until < stay.since:
        found.append(Objection("out_before_in", "until", "A stay cannot end before it began. Correct one of the days."))
    came, left = there
    if came and stay.since < came:
        found.append(Objection("before_start", "since", f"It came on {spoken(came)}, after this day. Correct the day."))
    if left and (stay.until is None or stay.until > left):
        found.append(Objection("after_end", "until", f"It left on {spoken(left)}; the stay ended then at the latest."))
    for other in others:
        if stay.meets(other):
            ended = f"until {spoken(other.until)}" if other.until else "until now"
            text = f"It was in {other.place} from {spoken(other.since)} {ended}. Correct that stay first, or the days."
            found.append(Objection("two_places", "since", text))
    return found
