"""Scales and ticks: from numbers and dates to places on a picture, with round numbers beside the rule."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

ROUND_STEPS = (1, 2, 5)
MONTH_STEPS = (1, 2, 3, 6)
YEAR_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
DAY_STEPS = (1, 2, 5, 10)
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Scale:
    """A straight map from [low, high] to [start, end]; a range of nothing lies in the middle."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Place of a value."""
        if self.high == self.low:
            return (self.start + self.end) / 2
        return self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)


def finite(values: Iterable[float], what: str) -> list[float]:
    """The values as floats. Refuses what is not a finite number, naming it."""
    result = [float(value) for value in values]
    for place, value in enumerate(result, start=1):
        if not math.isfinite(value):
            raise ValueError(f"{what}: value {place} is {value}. Leave it out or give a finite number.")
    return result


def round_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 5 × a power of ten that cuts `span` into at most `most` parts."""
    if span <= 0:
        return 1.0
    power = math.floor(math.log10(span / most))
    steps = (base * 10.0**exponent for exponent in (power, power + 1) for base in ROUND_STEPS)
    return next(step for step in steps if span / step <= most * (1 + 1e-9))


def round_ticks(low: float, high: float, most: int = 5) -> list[float]:
    """Round numbers from at or below `low` to at or above `high`, about `most` steps apart; always at least two."""
    if low == high:
        low, high = (min(0.0, low), max(0.0, high)) if low else (0.0, 1.0)
    step = round_step(high - low, most)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [_without_noise(count * step, step) for count in range(first, last + 1)]


def decimals_of(step: float) -> int:
    """How many decimals numbers a step apart need."""
    return max(0, -math.floor(math.log10(step) + 1e-9)) if step > 0 else 0


def _without_noise(value: float, step: float) -> float:
    return round(value, decimals_of(step) + 1)


def tick_words(ticks: list[float]) -> list[str]:
    """The ticks as text: all with the same decimals, thousands set apart."""
    step = ticks[1] - ticks[0] if len(ticks) > 1 else 1.0
    return [in_threes(f"{tick:,.{decimals_of(step)}f}") for tick in ticks]


def in_threes(text: str) -> str:
    """A number with commas between its thousands as pages set it, held together by narrow spaces: 12 400."""
    return text.replace(",", "\N{NARROW NO-BREAK SPACE}")


def whole(count: int) -> str:
    """A count as pages set it."""
    return in_threes(f"{count:,}")


def date_ticks(first: date, last: date, most: int = 7) -> list[tuple[date, str]]:
    """Years, months or days between two dates, at most about `most`, with their words."""
    for months in (*MONTH_STEPS, *(12 * years for years in YEAR_STEPS)):
        if _months_between(first, last) / months <= most:
            ticks = _month_ticks(first, last, months)
            return ticks if len(ticks) > 1 else _day_ticks(first, last, most)
    raise ValueError(f"The dates {first} and {last} are too far apart for one picture.")


def _months_between(first: date, last: date) -> int:
    return (last.year - first.year) * 12 + last.month - first.month


def _month_ticks(first: date, last: date, months: int) -> list[tuple[date, str]]:
    ticks: list[tuple[date, str]] = []
    start = first.year * 12 + first.month - 1
    for count in range(-(-start // months) * months, last.year * 12 + last.month, months):
        day = date(count // 12, count % 12 + 1, 1)
        if first <= day <= last:
            yearly = months % 12 == 0
            named = f"{MONTHS[day.month - 1]} {day.year}" if not ticks or day.month == 1 else MONTHS[day.month - 1]
            ticks.append((day, str(day.year) if yearly else named))
    return ticks


def _day_ticks(first: date, last: date, most: int) -> list[tuple[date, str]]:
    span = (last - first).days
    step = next((step for step in DAY_STEPS if span / step <= most), DAY_STEPS[-1])
    days = [date.fromordinal(at) for at in range(first.toordinal(), last.toordinal() + 1, step)]
    return [
        (day, day_words(day) if place == 0 else f"{day.day} {MONTHS[day.month - 1]}") for place, day in enumerate(days)
    ]


def day_words(day: date) -> str:
    """A date as it stands on pages."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
