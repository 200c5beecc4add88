"""The genetic status of a stock: every figure of its pages from one function."""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from functools import partial

import numpy as np
from django.utils import timezone

from breeding.genetics.ancestry import GenerationInterval, generation_interval
from breeding.genetics.pedigree import Pedigree
from registry.models import FishDetails, Stock
from registry.queries.catalogue import Inherits, inheritance_of
from registry.queries.chunks import chunks
from registry.queries.pedigree import pedigree_with_sibs
from registry.queries.status import sizes
from registry.queries.status.census import Census, census_of, origins_of
from registry.queries.status.classes import Year, YearClass, year_classes, years
from registry.queries.status.founders import FounderFigures, founder_figures
from registry.queries.status.group import Headline, group_figures
from registry.queries.status.supposed import Supposed, suppositions
from registry.queries.status.young import NONE, Young, young_in_batches


@dataclass(frozen=True, eq=False)
class Status:
    """Everything that is told of a stock. Arrays are in the order of `living`."""

    pedigree: Pedigree
    living: dict[Hashable, int]
    young: Young
    inherits: Inherits
    mean_kinship: np.ndarray
    inbreeding: np.ndarray
    headline: Headline
    years: tuple[Year, ...]
    founders: tuple[FounderFigures, ...]
    year_classes: tuple[YearClass, ...]
    sizes: tuple[sizes.Size, ...]
    interval: GenerationInterval
    supposed: tuple[Supposed, ...]


def status_of(stock: Stock, *, batches: bool = False, today: date | None = None) -> Status | None:
    """Compute the status of a stock; None if no fish of it lives. `batches` counts untagged young with their families.

    Raises
    ------
    PedigreeError
        The records contradict each other, such as a fish that is its own ancestor.
    """
    census = census_of(stock)
    young = young_in_batches(stock) if batches else NONE
    living = census.living
    for parentage, count in young.by_parentage.items():
        living["sibs", parentage] = living.get(("sibs", parentage), 0) + count
    if not living:
        return None
    sibs = {name[1] for name in [*living, *census.names] if isinstance(name, tuple)}
    told = {fish: one.parentage for fish, one in census.singles.items()}
    inherits = inheritance_of(stock)
    pedigree = pedigree_with_sibs(census.singles, sibs, inherits, told)
    return _computed(pedigree, living, (census, young, inherits), (today or timezone.localdate()).year)


def _computed(
    pedigree: Pedigree, living: dict[Hashable, int], read: tuple[Census, Young, Inherits], this_year: int
) -> Status:
    census, young, inherits = read
    of_living = group_figures(pedigree, living, partial(_told_origins, census=census), inherits)
    classes = year_classes(census, of_living.every_inbreeding[pedigree.positions(census.names)])
    interval = generation_interval(pedigree, _born(pedigree, census))
    by_year = {one.year: (one.count, one.mean) for one in classes}
    return Status(
        pedigree=pedigree,
        living=living,
        young=young,
        inherits=inherits,
        mean_kinship=of_living.mean_kinship,
        inbreeding=of_living.inbreeding,
        headline=of_living.headline,
        years=years(pedigree, census, this_year),
        founders=founder_figures(pedigree, living, of_living.found, of_living.kept),
        year_classes=classes,
        sizes=(
            *of_living.sizes,
            replace(sizes.of_seasons(pedigree, census), ploidy=inherits.ploidy),
            replace(sizes.of_years(by_year, interval.years, inherits.ploidy), ploidy=inherits.ploidy),
        ),
        interval=interval,
        supposed=suppositions(pedigree, living, census),
    )


def _told_origins(founders: list[Hashable], census: Census) -> dict[int, str]:
    """Return the origin on record of each founder; those of the stock have been read already."""
    told = {key: census.singles[key].origin for key in founders if key in census.singles}
    return told | origins_of(key for key in founders if isinstance(key, int) and key not in told)


def _born(pedigree: Pedigree, census: Census) -> dict[Hashable, float]:
    """Return the time of hatching of each fish that stands for itself, in years."""
    days = {fish: one.hatched_on for fish, one in census.singles.items()}
    return hatching_times(days, (name for name in pedigree.ids if isinstance(name, int) and name not in days))


def hatching_times(days: dict[int, date | None], others: Iterable[int]) -> dict[Hashable, float]:
    """Return hatching in years of fish whose days are known, and of others, by the register."""
    found = dict(days)
    for part in chunks(others):
        found.update(FishDetails.objects.current().filter(fish__in=part).values_list("fish_id", "hatched_on"))
    return {fish: day.year + (day.timetuple().tm_yday - 1) / 365.25 for fish, day in found.items() if day}
