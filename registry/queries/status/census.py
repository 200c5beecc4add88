"""Who lived when: the fish of a stock as lines, a line being fish that are alike for every figure."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

import numpy as np
from django.db import connection

from registry.models import FishDetails, Stock
from registry.queries.known import chunks
from registry.queries.pedigree import breeders

LIVES = 0  # in place of the year in which a fish left
YEAR_UNKNOWN = -1
DAY = len("2026-05-03")


class Line(NamedTuple):
    """One fish by its key, or ("sibs", parentage key): fish of one parentage that never bred, with their number.

    `since` is the year of capture or, for fish hatched here, of hatching; None if neither is known. `until` is the year
    in which they left: LIVES for those alive, YEAR_UNKNOWN where the day was not noted.
    """

    name: Hashable
    number: int
    since: int | None
    until: int
    hatched: int | None

    @property
    def lives(self) -> bool:
        """Return whether the fish are alive and here."""
        return self.until == LIVES

    def lived_at_end_of(self, year: int) -> bool:
        """Return whether the fish were here at the end of a year, as far as their days are known."""
        return self.since is not None and self.since <= year and (self.lives or self.until > year)


@dataclass(frozen=True, slots=True)
class Single:
    """What is known of a fish that stands for itself."""

    sex: str
    origin: str
    parentage: int | None
    hatched_on: date | None


@dataclass(frozen=True)
class Census:
    """All lines of a stock, those that left included, and the fish that stand for themselves."""

    lines: tuple[Line, ...]
    singles: dict[int, Single]

    @property
    def living(self) -> dict[Hashable, int]:
        """Return how many fish of each name live."""
        found: dict[Hashable, int] = defaultdict(int)
        for line in self.lines:
            if line.lives:
                found[line.name] += line.number
        return dict(found)


def census_of(stock: Stock) -> Census:
    """Count the fish of a stock: founders and fish that bred one by one, all others by parentage and years."""
    lines, singles = _singles(stock)
    groups = _groups(stock)
    for line, single in zip(lines, singles.values(), strict=True):
        if single.parentage is not None:
            groups[single.parentage, line.since, line.until, line.hatched] -= 1
    lines += [
        Line(("sibs", parentage), count, since, until, hatched)
        for (parentage, since, until, hatched), count in groups.items()
        if count
    ]
    return Census(tuple(lines), singles)


def _singles(stock: Stock) -> tuple[list[Line], dict[int, Single]]:
    current = FishDetails.objects.current()
    columns = "fish_id", "parentage_id", "sex", "origin", "caught_on", "hatched_on", "left", "left_on"
    rows = list(current.filter(stock=stock, parentage__isnull=True).values_list(*columns))
    for part in chunks(breeders()):
        # By fish alone: with the stock as well, SQLite would look through all of its fish.
        found = current.filter(fish__in=part).values_list("stock_id", *columns)
        rows += [row for of_stock, *row in found if of_stock == stock.pk and row[1] is not None]
    lines, singles = [], {}
    for fish, parentage, sex, origin, caught, hatched, left, left_on in rows:
        until = _until(left, left_on and left_on.year)
        lines.append(Line(fish, 1, _year(caught or hatched), until, _year(hatched)))
        singles[fish] = Single(sex, origin, parentage, hatched)
    return lines, singles


Key = tuple[int, int | None, int, int | None]


def _groups(stock: Stock) -> Counter[Key]:
    """Return how many fish with parents there are of each parentage, with their years.

    Grouped in the order of the index `lives_by_parentage`, which holds every column read: nothing is sorted. The days
    of leaving come as one text a group, since a row for each day would cost more than all the rest.
    """
    year = "substr(CAST({} AS varchar(10)), 1, 4)".format
    # SQLite keeps a day as the text 2026-05-03 already.
    days = "string_agg(left_on::text, '')" if connection.vendor == "postgresql" else "group_concat(left_on, '')"
    statement = (
        f'SELECT parentage_id, {year("hatched_on")}, {year("caught_on")}, "left", COUNT(*),'  # noqa: S608
        f" {days} FROM {FishDetails._meta.db_table}"
        " WHERE stock_id = %s AND withdrawn_id IS NULL AND parentage_id IS NOT NULL"
        ' GROUP BY parentage_id, hatched_on, caught_on, "left"'
    )
    with connection.cursor() as cursor:
        cursor.execute(statement, [stock.pk])
        rows = cursor.fetchall()
    found: Counter[Key] = Counter()
    for (parentage, hatched, caught, left, count, _), years in zip(rows, _years([row[5] for row in rows]), strict=True):
        born, since = hatched and int(hatched), caught or hatched
        undated = LIVES if not left else YEAR_UNKNOWN
        for until, number in (*years.items(), (undated, count - sum(years.values()))):
            if number:
                found[parentage, since and int(since), until, born] += number
    return found


def _years(texts: list[str | None]) -> list[dict[int, int]]:
    """Return how often each year is in each text of days, one behind the other."""
    told = [text or "" for text in texts]
    signs = np.frombuffer("".join(told).encode(), dtype=np.uint8).reshape(-1, DAY)
    if not len(signs):
        return [{} for _ in told]
    years = (signs[:, :4] - ord("0")) @ np.array([1000, 100, 10, 1])
    first, span = int(years.min()), int(np.ptp(years)) + 1
    group = np.repeat(np.arange(len(told)), [len(text) // DAY for text in told])
    counts = np.bincount(group * span + years - first, minlength=len(told) * span).reshape(len(told), span)
    found: list[dict[int, int]] = [{} for _ in told]
    for row, column in np.argwhere(counts).tolist():
        found[row][first + column] = int(counts[row, column])
    return found


def _until(left: str, year: int | None) -> int:
    return LIVES if not left else year or YEAR_UNKNOWN


def _year(day: date | None) -> int | None:
    return day.year if day else None


def origins_of(fish: Iterable[int]) -> dict[int, str]:
    """Return the origin on record of each fish, of whatever stock."""
    found: dict[int, str] = {}
    for part in chunks(fish):
        found.update(FishDetails.objects.current().filter(fish__in=part).values_list("fish_id", "origin"))
    return found
