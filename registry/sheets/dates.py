"""Days as people write them, with how much of the day is known."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from registry.errors import Objection
from registry.rules.days import Day
from registry.rules.reading import Reading, refusal, shown, warning
from registry.sheets.cells import Cell
from registry.sheets.values import opened, plain_text

Order = Literal["dmy", "mdy"]
_MONTHS = (
    "jan january januar janvier enero i", "feb february februar février febrero ii",
    "mar march märz maerz mär mrz mars marzo iii", "apr april avril abril iv", "may mai mayo v",
    "jun june juni juin junio vi", "jul july juli juillet julio vii", "aug august août aout agosto viii",
    "sep sept september septembre septiembre ix", "oct october okt oktober octobre octubre x",
    "nov november novembre noviembre xi", "dec december dez dezember décembre diciembre xii",
)  # fmt: skip
_MONTH_OF = {word: number for number, words in enumerate(_MONTHS, start=1) for word in words.split()}
# The day before day 1 of spreadsheets; they count a 29 February 1900 that never was, so it fits from March 1900.
_SERIAL_EPOCH = date(1899, 12, 30)
_EARLIEST_YEAR = 1850
_CLOCK = re.compile(r"[T ]+\d{1,2}[:.h]\d{2}(?::\d{2}(?:\.\d+)?)?(?: ?[ap]m)?(?:Z|[+-]\d\d:?\d\d)?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Written:
    """The parts of a day as written; month or day 0 where it was not."""

    year: str
    month: int = 0
    day: int = 0
    serial: bool = False


def _month(word: str) -> int:
    return _MONTH_OF.get(word.casefold().rstrip("."), 13)


def _slashed(found: re.Match[str], order: Order | None) -> _Written | None:
    """Put the parts of 03/05/2019 in order; None when they cannot be told apart."""
    first, second, year = int(found[1]), int(found[3]), found[4]
    if order is None and first <= 12 and second <= 12 and first != second:
        return None
    if order == "mdy" or (order is None and second > 12):
        return _Written(year, first, second)
    return _Written(year, second, first)


def _serial(found: re.Match[str], _order: Order | None) -> _Written:
    day = _SERIAL_EPOCH + timedelta(days=int(found[1]))
    return _Written(str(day.year), day.month, day.day, serial=True)


_NOTATIONS: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], Order | None], _Written | None]], ...] = (
    (re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})"), lambda m, _: _Written(m[1], int(m[3]), int(m[4]))),
    (re.compile(r"((?:19|20)\d\d)(\d\d)(\d\d)"), lambda m, _: _Written(m[1], int(m[2]), int(m[3]))),
    (re.compile(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4}|\d{2})"), lambda m, _: _Written(m[3], int(m[2]), int(m[1]))),
    (re.compile(r"(\d{1,2})([/-])(\d{1,2})\2(\d{4}|\d{2})"), _slashed),
    (
        re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[ .\-/]*([^\W\d_]+)[ .,\-/]*(\d{4}|\d{2})"),
        lambda m, _: _Written(m[3], _month(m[2]), int(m[1])),
    ),
    (
        re.compile(r"([^\W\d_]{3,})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})"),
        lambda m, _: _Written(m[3], _month(m[1]), int(m[2])),
    ),
    (re.compile(r"([^\W\d_]+)[ .,\-/]*(\d{4})"), lambda m, _: _Written(m[2], _month(m[1]))),
    (re.compile(r"(\d{4})[-/.](\d{1,2})"), lambda m, _: _Written(m[1], int(m[2]) or 13)),
    (re.compile(r"(\d{1,2})[-/.](\d{4})"), lambda m, _: _Written(m[2], int(m[1]) or 13)),
    (re.compile(r"(\d{4})"), lambda m, _: _Written(m[1])),
    (re.compile(r"([1-7]\d{4})(?:\.\d+)?"), _serial),
)


def read_day(cell: Cell, as_of: date, order: Order | None = None) -> Reading[Day | None]:
    """Return the day of a cell, or None when it is blank. Dots are day.month.year.

    `order` says how slashes are meant; without it 03/05/2019 is refused as `ambiguous_date`. Refuses `bad_date` and
    days after `as_of` (`future_date`); warns of `two_digit_year`, `year_only`, `month_only` and `excel_serial`.
    """
    found = opened(cell)
    if found.refused or found.value is None:
        return found
    if isinstance(found.value, date):
        return _checked(_Written(str(found.value.year), found.value.month, found.value.day), as_of, str(found.value))
    text = _CLOCK.sub("", plain_text(found.value).lstrip("'"))
    for notation, parts_of in _NOTATIONS:
        if match := notation.fullmatch(text):
            written = parts_of(match, order)
            return _ambiguous(text) if written is None else _checked(written, as_of, text)
    return _bad(text, "is not a date")


def _checked(written: _Written, as_of: date, text: str) -> Reading[Day]:
    """Return the day that the parts make, with its warnings, or why there is none."""
    year = int(written.year)
    if len(written.year) == 2:
        year += 2000 if 2000 + year <= as_of.year else 1900
    if not year >= _EARLIEST_YEAR:
        return _bad(text, f"lies in the year {year}, long before any record")
    try:
        first = date(year, written.month or 1, written.day or 1)
    except ValueError:
        return _bad(text, "is no day of the calendar")
    if first > as_of:
        message = f"{shown(text)} lies after {as_of.isoformat()}, the day up to which is entered. Check the year."
        return refusal("future_date", message, text)
    day = Day(first, "day" if written.day else "month" if written.month else "year")
    return Reading(day, tuple(_remarks(written, day, text)))


def _remarks(written: _Written, day: Day, text: str) -> list[Objection]:
    """Return the warnings that go with a day that was understood."""
    seen = shown(text)
    remarks = []
    if len(written.year) == 2:
        remarks.append(warning("two_digit_year", f"{seen} is read as {day.iso}. Check the century.", text))
    if written.serial:
        remarks.append(warning("excel_serial", f"{seen} is read as a spreadsheet's day number: {day.iso}.", text))
    if day.precision == "year":
        remarks.append(warning("year_only", f"Only the year {day.iso} is known. Add month and day if you can.", text))
    if day.precision == "month":
        remarks.append(warning("month_only", f"Only the month {day.iso} is known. Add the day if you can.", text))
    return remarks


def _bad(text: str, what: str) -> Reading[Day]:
    return refusal("bad_date", f"{shown(text)} {what}. Enter it as 2019-05-03 or 3 May 2019.", text)


def _ambiguous(text: str) -> Reading[Day]:
    message = (
        f"{shown(text)} can be read with the day first or the month first. "
        "Say which (--date-order dmy or mdy), or write it as 2019-05-03."
    )
    return refusal("ambiguous_date", message, text)
