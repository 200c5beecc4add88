"""Year classes of the living, and the years of a stock."""

from collections import defaultdict
from collections.abc import Hashable, Mapping
from dataclasses import dataclass

import numpy as np

from breeding.genetics.over_time import coancestry_of_groups
from breeding.genetics.pedigree import Pedigree
from registry.queries.status.census import LIVES, Census

BANDS = (0.0, 0.03125, 0.0625, 0.125, 0.25)  # F of the young of half first cousins, first cousins, half sibs, full sibs


@dataclass(frozen=True, slots=True)
class YearClass:
    """Inbreeding of the living of one hatch year; `bands` counts F of 0, then up to each further bound, then above."""

    year: int
    count: int
    mean: float
    least: float
    most: float
    bands: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Year:
    """The group living at the end of a year; without self None where there are no two fish."""

    year: int
    count: int
    mean_kinship: float
    without_self: float | None

    @property
    def gene_diversity(self) -> float:
        """Return 1 less the mean kinship, self included."""
        return 1 - self.mean_kinship


def year_classes(census: Census, inbreeding: Mapping[Hashable, float]) -> tuple[YearClass, ...]:
    """Return F by hatch year of the living whose hatch year is known."""
    by_year: dict[int, list[tuple[float, int]]] = defaultdict(list)
    for line in census.lines:
        if line.lives and line.hatched:
            by_year[line.hatched].append((inbreeding[line.name], line.number))
    return tuple(_class(year, held) for year, held in sorted(by_year.items()))


def _class(year: int, held: list[tuple[float, int]]) -> YearClass:
    values, counts = np.array(held).T
    band = np.searchsorted(BANDS, np.round(values, 12), side="left")
    in_bands = np.bincount(band, weights=counts, minlength=len(BANDS) + 1).astype(int)
    total = int(counts.sum())
    mean = float(values @ counts / total)
    return YearClass(year, total, mean, float(values.min()), float(values.max()), tuple(in_bands.tolist()))


def years(pedigree: Pedigree, census: Census, this_year: int) -> tuple[Year, ...]:
    """Return the figures of the groups living at the end of each year, this year's as it is now."""
    lines = census.lines
    first = min((line.since for line in lines if line.since is not None), default=this_year)
    past = list(range(first, this_year))
    names = {name: row for row, name in enumerate(dict.fromkeys(line.name for line in lines))}
    counts = np.zeros((len(names), len(past) + 1))
    rows = np.array([names[line.name] for line in lines])
    number = np.array([line.number for line in lines])
    until = (
        np.array([this_year if line.until == LIVES else line.until for line in lines]).clip(first, this_year) - first
    )
    since = np.array([this_year if line.since is None else line.since for line in lines]).clip(first, this_year) - first
    # One more from the first year on, one less from the last: added up along the years.
    np.add.at(counts, (rows, np.minimum(since, until)), number)
    np.add.at(counts, (rows, until), -number)
    counts = counts.cumsum(axis=1)
    lives = np.array([line.until == LIVES for line in lines])
    counts[:, -1] = np.bincount(rows[lives], weights=number[lives], minlength=len(names))
    with_self, without = coancestry_of_groups(pedigree, list(names), counts)
    total = counts.sum(axis=0).astype(int).tolist()
    told = zip([*past, this_year], total, with_self.tolist(), without.tolist(), strict=True)
    return tuple(Year(year, n, theta, other if n > 1 else None) for year, n, theta, other in told if n)
