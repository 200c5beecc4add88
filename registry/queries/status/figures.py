"""The genetic status of a stock: every figure of its pages from one function."""

from collections.abc import Hashable
from dataclasses import dataclass
from datetime import date

import numpy as np
from django.utils import timezone

from breeding.genetics.ancestry import (
    CAPTIVE,
    WILD,
    GenerationInterval,
    equivalent_generations,
    generation_interval,
    generations_in_captivity,
    wild_origin,
)
from breeding.genetics.diversity import founder_genome_equivalents, group_kinship
from breeding.genetics.founders import Contributions, contributions, effective_ancestors, founder_equivalents
from breeding.genetics.gene_drop import allele_retention, founder_genomes_surviving
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.pedigree import Pedigree
from registry.models import FishDetails, Stock
from registry.queries.catalogue import Inherits, inheritance_of
from registry.queries.chunks import chunks
from registry.queries.pedigree import pedigree_with_sibs
from registry.queries.status import sizes
from registry.queries.status.census import Census, census_of, origins_of
from registry.queries.status.classes import Year, YearClass, year_classes, years
from registry.queries.status.founders import FounderFigures, founder_figures
from registry.queries.status.supposed import Supposed, suppositions
from registry.queries.status.young import NONE, Young, young_in_batches

DROPS, SEED = 1000, 1


@dataclass(frozen=True, slots=True)
class Headline:
    """The figures at the head of the page; means are over the living, and None where they cannot be told."""

    living: int
    founders: int
    unknown_share: float
    inbreeding: float
    mean_kinship: float
    mean_kinship_without_self: float | None
    founder_genome_equivalents: float | None
    founder_genomes_surviving: float
    founder_equivalents: float
    effective_ancestors: float | None
    wild_low: float
    wild_high: float
    generations_in_captivity: float
    equivalent_generations: float
    retention_error: float

    @property
    def gene_diversity(self) -> float:
        """Return 1 less the mean kinship, self included."""
        return 1 - self.mean_kinship


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
    at = pedigree.positions(living)
    counts = np.array(list(living.values()), dtype=float)
    group = group_kinship(pedigree, living)
    every_f, depth = inbreeding(pedigree), equivalent_generations(pedigree)
    captive = generations_in_captivity(pedigree)
    found = contributions(pedigree, living)
    kept = allele_retention(pedigree, living, drops=DROPS, seed=SEED)
    low, high = wild_origin(pedigree, found, _told_origins(pedigree, found, census))
    mean_f, mean_depth, mean_captive = (float(counts @ each[at] / counts.sum()) for each in (every_f, depth, captive))
    headline = Headline(
        living=int(counts.sum()),
        founders=int(np.count_nonzero(found.of_founders)),
        unknown_share=float(found.of_unknown.sum()),
        inbreeding=mean_f,
        mean_kinship=group.coancestry,
        mean_kinship_without_self=group.coancestry_without_self,
        founder_genome_equivalents=founder_genome_equivalents(pedigree, group),
        founder_genomes_surviving=founder_genomes_surviving(found, kept),
        founder_equivalents=founder_equivalents(found),
        effective_ancestors=effective_ancestors(pedigree, living),
        wild_low=low,
        wild_high=high,
        generations_in_captivity=mean_captive,
        equivalent_generations=mean_depth,
        retention_error=kept.largest_error,
    )
    classes = year_classes(census, every_f[pedigree.positions(census.names)])
    interval = generation_interval(pedigree, _born(pedigree, census))
    return Status(
        pedigree=pedigree,
        living=living,
        young=young,
        inherits=inherits,
        mean_kinship=group.mean_kinship,
        inbreeding=every_f[at],
        headline=headline,
        years=years(pedigree, census, this_year),
        founders=founder_figures(pedigree, living, found, kept),
        year_classes=classes,
        sizes=tuple(_sizes(pedigree, living, (every_f, depth), (classes, interval))),
        interval=interval,
        supposed=suppositions(pedigree, living, census),
    )


def _sizes(
    pedigree: Pedigree,
    living: dict[Hashable, int],
    of_all: tuple[np.ndarray, np.ndarray],
    over_time: tuple[tuple[YearClass, ...], GenerationInterval],
) -> list[sizes.Size]:
    every_f, depth = of_all
    classes, interval = over_time
    founder = np.zeros(len(pedigree), dtype=bool)
    founder[pedigree.founders()] = True
    born_here = {name: n for name, n in living.items() if not founder[pedigree.positions([name])[0]]}
    at = pedigree.positions(born_here)
    young_f = float(np.average(every_f[at], weights=list(born_here.values()))) if born_here else None
    parents = sizes.parents_of_living(pedigree, born_here, every_f)
    by_year = {one.year: (one.count, one.mean) for one in classes}
    return [
        *sizes.of_parents(parents, young_f),
        *sizes.of_increase(pedigree, living, every_f, depth),
        sizes.of_years(by_year, interval.years),
    ]


def _told_origins(pedigree: Pedigree, found: Contributions, census: Census) -> dict[Hashable, str | None]:
    """Return whether each founder is wild or captive, as far as the register says."""
    keys = [pedigree.ids[place] for place in found.founders.tolist()]
    told = {key: census.singles[key].origin for key in keys if key in census.singles}
    told |= origins_of(key for key in keys if isinstance(key, int) and key not in told)
    return {key: {"wild": WILD, "captive": CAPTIVE}.get(origin) for key, origin in told.items()}


def _born(pedigree: Pedigree, census: Census) -> dict[Hashable, float]:
    """Return the time of hatching of each fish that stands for itself, in years."""
    days = {fish: one.hatched_on for fish, one in census.singles.items()}
    others = [name for name in pedigree.ids if isinstance(name, int) and name not in days]
    for part in chunks(others):
        days.update(FishDetails.objects.current().filter(fish__in=part).values_list("fish_id", "hatched_on"))
    return {fish: day.year + (day.timetuple().tm_yday - 1) / 365.25 for fish, day in days.items() if day}
