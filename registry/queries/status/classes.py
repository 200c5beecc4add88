"""Year classes of the living, and the years of a stock."""

from dataclasses import dataclass

import numpy as np

from breeding.genetics.over_time import coancestry_of_groups
from breeding.genetics.pedigree import Pedigree
from registry.queries.status.census import YEAR_UNKNOWN, Census

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


def year_classes(census: Census, inbreeding: np.ndarray) -> tuple[YearClass, ...]:
    """Return F by hatch year of the living whose hatch year is known; `inbreeding` is that of the census's names."""
    lines = census.lines
    known = np.flatnonzero(lines.lives & (lines.hatched != YEAR_UNKNOWN))
    hatched, values, counts = lines.hatched[known], inbreeding[lines.name[known]], lines.number[known]
    found = []
    for year in np.unique(hatched).tolist():
        of_year = hatched == year
        found.append(_class(year, values[of_year], counts[of_year]))
    return tuple(found)


def _class(year: int, values: np.ndarray, counts: np.ndarray) -> YearClass:
    band = np.searchsorted(BANDS, np.round(values, 12), side="left")
    in_bands = np.bincount(band, weights=counts, minlength=len(BANDS) + 1).astype(int)
    total = int(counts.sum())
    mean = float(values @ counts / total)
    return YearClass(year, total, mean, float(values.min()), float(values.max()), tuple(in_bands.tolist()))


def years(pedigree: Pedigree, census: Census, this_year: int) -> tuple[Year, ...]:
    """Return the figures of the groups living at the end of each year, this year's as it is now."""
    lines = census.lines
    since = np.where(lines.since == YEAR_UNKNOWN, this_year, lines.since)
    first = min(int(since.min(initial=this_year)), this_year)
    past = list(range(first, this_year))
    counts = np.zeros((len(census.names), len(past) + 1))
    until = np.where(lines.lives, this_year, lines.until).clip(first, this_year) - first
    since = since.clip(first, this_year) - first
    # One more from the first year on, one less from the last: added up along the years.
    np.add.at(counts, (lines.name, np.minimum(since, until)), lines.number)
    np.add.at(counts, (lines.name, until), -lines.number)
    counts = counts.cumsum(axis=1)
    counts[:, -1] = np.bincount(lines.name[lines.lives], lines.number[lines.lives], len(census.names))
    with_self, without = coancestry_of_groups(pedigree, census.names, counts)
    total = counts.sum(axis=0).astype(int).tolist()
    told = zip([*past, this_year], total, with_self.tolist(), without.tolist(), strict=True)
    return tuple(Year(year, n, theta, other if n > 1 else None) for year, n, theta, other in told if n)
