"""Who lived when: the fish of a stock as lines, a line being fish that are alike for every figure."""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np
from django.db import connection

from registry.models import FishDetails, ParentPair, Stock
from registry.queries.chunks import chunks

LIVES = 0  # in place of the year in which a fish left
YEAR_UNKNOWN = -1
NO_DAY = "0000-00-00"  # in place of the day on which a fish left
DAY = len(NO_DAY)


@dataclass(frozen=True, eq=False)
class Lines:
    """Fish that are alike, each array (lines,) int: of which name, how many, and their years.

    `since` is the year of capture or, for fish hatched here, of hatching; `until` the year in which they left, LIVES
    for those alive. YEAR_UNKNOWN stands for a year that is not on record.
    """

    name: np.ndarray
    number: np.ndarray
    since: np.ndarray
    until: np.ndarray
    hatched: np.ndarray

    @property
    def lives(self) -> np.ndarray:
        """Return whether the fish of each line are alive and here."""
        return self.until == LIVES


@dataclass(frozen=True, slots=True)
class Single:
    """What is known of a fish that stands for itself."""

    parentage: int | None
    sex: str
    origin: str
    caught_on: date | None
    hatched_on: date | None
    left: str
    left_on: date | None


@dataclass(frozen=True, eq=False)
class Census:
    """All lines of a stock, those that left included, and the fish that stand for themselves.

    A name is a fish's key, or ("sibs", parentage key) for the fish of one parentage that never bred.
    """

    names: list[Hashable]
    lines: Lines
    singles: dict[int, Single]

    @property
    def living(self) -> dict[Hashable, int]:
        """Return how many fish of each name live."""
        lines = self.lines
        counts = np.bincount(lines.name[lines.lives], lines.number[lines.lives], len(self.names)).astype(int)
        return {name: count for name, count in zip(self.names, counts.tolist(), strict=True) if count}


def census_of(stock: Stock) -> Census:
    """Count the fish of a stock: founders and fish that bred one by one, all others by parentage and years."""
    singles = _singles(stock)
    alone = np.array([_columns(one, 1) for one in singles.values()], dtype=int).reshape(-1, COLUMNS)
    bred = np.array([_columns(one, -1) for one in singles.values() if one.parentage], dtype=int).reshape(-1, COLUMNS)
    sibs = _added_up(np.concatenate([_groups(stock), bred]))
    parentages, place = np.unique(sibs[:, 0], return_inverse=True)
    alone[:, 0] = np.arange(len(alone))
    sibs[:, 0] = len(alone) + place
    names = [*singles, *(("sibs", parentage) for parentage in parentages.tolist())]
    name, since, until, hatched, number = np.concatenate([alone, sibs]).T
    return Census(names, Lines(name, number, since, until, hatched), singles)


# A line while it is counted: parentage, since, until, hatched, number.
COLUMNS = 5


def _columns(one: Single, number: int) -> tuple[int, int, int, int, int]:
    since = one.caught_on or one.hatched_on
    until = LIVES if not one.left else _year(one.left_on)
    return one.parentage or 0, _year(since), until, _year(one.hatched_on), number


def _added_up(lines: np.ndarray) -> np.ndarray:
    """Return the lines with those of one parentage and the same years as one; those of which nothing is left go."""
    kinds, kind = np.unique(lines[:, :-1], axis=0, return_inverse=True)
    numbers = np.bincount(kind.ravel(), lines[:, -1], len(kinds)).astype(int)
    return np.column_stack([kinds, numbers])[numbers != 0]


def _singles(stock: Stock) -> dict[int, Single]:
    """Return the founders of a stock and its fish that bred, by key."""
    current = FishDetails.objects.current()
    columns = "fish_id", "parentage_id", "sex", "origin", "caught_on", "hatched_on", "left", "left_on"
    rows = list(current.filter(stock=stock, parentage__isnull=True).values_list(*columns))
    pairs = ParentPair.objects.current().order_by()
    parents = pairs.values("dam").union(pairs.values("sire"))
    # By fish alone: with the stock as well, SQLite would look through all of its fish.
    bred = current.filter(fish__in=parents).values_list("stock_id", *columns)
    rows += [row for of_stock, *row in bred if of_stock == stock.pk and row[1]]
    return {fish: Single(*told) for fish, *told in rows}


def _groups(stock: Stock) -> np.ndarray:
    """Return the fish with parents as lines, one for each parentage and day of hatching, capture and year of leaving.

    Grouped in the order of the index `lives_by_parentage`, which holds every column read: nothing is sorted. The days
    of leaving come as one text a group, since a row for each day would cost more than all the rest.
    """
    year = "COALESCE(CAST(substr(CAST({} AS varchar(10)), 1, 4) AS integer), -1)".format
    day = f"COALESCE({{}}, CASE WHEN \"left\" <> '' THEN '{NO_DAY}' END)".format
    # SQLite keeps a day as the text 2026-05-03 already.
    postgresql = connection.vendor == "postgresql"
    days = f"string_agg({day('left_on::text')}, '')" if postgresql else f"group_concat({day('left_on')}, '')"
    statement = (
        f"SELECT parentage_id, {year('COALESCE(caught_on, hatched_on)')}, 0, {year('hatched_on')}, COUNT(*), {days}"  # noqa: S608
        f" FROM {FishDetails._meta.db_table}"
        " WHERE stock_id = %s AND withdrawn_id IS NULL AND parentage_id IS NOT NULL"
        " GROUP BY parentage_id, hatched_on, caught_on"
    )
    with connection.cursor() as cursor:
        cursor.execute(statement, [stock.pk])
        rows = cursor.fetchall()
    groups = np.array([row[:COLUMNS] for row in rows], dtype=int).reshape(-1, COLUMNS)
    group, until, number = _years([row[COLUMNS] or "" for row in rows])
    gone = groups[group]
    gone[:, 2], gone[:, -1] = until, number
    groups[:, -1] -= np.bincount(group, number, len(groups)).astype(int)
    return np.concatenate([groups[groups[:, -1] > 0], gone])


def _years(texts: list[str]) -> tuple[np.ndarray, ...]:
    """Return which year of leaving is in which text of days, one behind the other, and how often: three arrays."""
    signs = np.frombuffer("".join(texts).encode(), dtype=np.uint8).reshape(-1, DAY)
    years = (signs[:, :4] - ord("0")) @ np.array([1000, 100, 10, 1])
    known = years[years > 0]
    first = int(known.min(initial=9999)) - 1  # the column of those that left on an unknown day
    span = max(1, int(known.max(initial=0)) - first + 1)
    text = np.repeat(np.arange(len(texts)), [len(text) // DAY for text in texts])
    column = np.maximum(years - first, 0)
    counts = np.bincount(text * span + column, minlength=len(texts) * span).reshape(-1, span)
    found, place = np.nonzero(counts)
    return found, np.where(place > 0, first + place, YEAR_UNKNOWN), counts[found, place]


def _year(day: date | None) -> int:
    return day.year if day else YEAR_UNKNOWN


def origins_of(fish: Iterable[int]) -> dict[int, str]:
    """Return the origin on record of each fish, of whatever stock."""
    found: dict[int, str] = {}
    for part in chunks(fish):
        found.update(FishDetails.objects.current().filter(fish__in=part).values_list("fish_id", "origin"))
    return found
