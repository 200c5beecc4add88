"""The figures of a group of fish, whichever it is: all the living of a stock, a year class, a few by number."""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from breeding.genetics.ancestry import CAPTIVE, WILD, equivalent_generations, generations_in_captivity, wild_origin
from breeding.genetics.diversity import founder_genome_equivalents, group_kinship
from breeding.genetics.founders import Contributions, contributions, effective_ancestors, founder_equivalents
from breeding.genetics.gene_drop import Retention, allele_retention, founder_genomes_surviving
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.pedigree import Pedigree
from registry.queries.catalogue import Inherits
from registry.queries.status import sizes

DROPS, SEED = 1000, 1
WILD_OR_NOT = {"wild": WILD, "captive": CAPTIVE}

# Told the names of founders, returns the origin on record of each.
Origins = Callable[[list[Hashable]], Mapping[int, str]]


@dataclass(frozen=True, slots=True)
class Headline:
    """The figures at the head of the page; means are over the living, and None where they cannot be told.

    `drops` gene drops gave what is told of retention; 0 where all outcomes were counted.
    """

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
    drops: int

    @property
    def gene_diversity(self) -> float:
        """Return 1 less the mean kinship, self included."""
        return 1 - self.mean_kinship


@dataclass(frozen=True, eq=False)
class GroupFigures:
    """Figures of a group; arrays in its order, but `every_inbreeding`, which is of the whole pedigree."""

    headline: Headline
    mean_kinship: np.ndarray
    inbreeding: np.ndarray
    every_inbreeding: np.ndarray
    found: Contributions
    kept: Retention
    sizes: tuple[sizes.Size, ...]


def group_figures(
    pedigree: Pedigree, living: dict[Hashable, int], origins: Origins, inherits: Inherits
) -> GroupFigures:
    """Compute the figures of a group, told as names with how many fish each stands for."""
    at = pedigree.positions(living)
    counts = np.array(list(living.values()), dtype=float)
    group = group_kinship(pedigree, living)
    every_f, depth = inbreeding(pedigree), equivalent_generations(pedigree)
    captive = generations_in_captivity(pedigree)
    found = contributions(pedigree, living)
    kept = allele_retention(pedigree, living, drops=DROPS, seed=SEED)
    told = origins([pedigree.ids[place] for place in found.founders.tolist()])
    low, high = wild_origin(pedigree, found, {fish: WILD_OR_NOT.get(origin) for fish, origin in told.items()})
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
        drops=kept.drops,
    )
    of_group = tuple(
        replace(one, ploidy=inherits.ploidy) for one in _sizes(pedigree, living, (every_f, depth), inherits)
    )
    return GroupFigures(headline, group.mean_kinship, every_f[at], every_f, found, kept, of_group)


def _sizes(
    pedigree: Pedigree, living: dict[Hashable, int], of_all: tuple[np.ndarray, np.ndarray], inherits: Inherits
) -> list[sizes.Size]:
    """Return the effective sizes that a group tells by itself."""
    every_f = of_all[0]
    founder = np.zeros(len(pedigree), dtype=bool)
    founder[pedigree.founders()] = True
    born_here = {name: n for name, n in living.items() if not founder[pedigree.positions([name])[0]]}
    at = pedigree.positions(born_here)
    young_f = float(np.average(every_f[at], weights=list(born_here.values()))) if born_here else None
    parents = sizes.parents_of_living(pedigree, born_here, every_f)
    of_parents = sizes.of_parents(parents, young_f, inherits.ploidy)
    return [*of_parents, *sizes.of_increase(pedigree, living, of_all, inherits)]
