"""Effective size of a stock by each method that the register's data allow."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass

import numpy as np

from breeding.genetics import effective_size as ne
from breeding.genetics.engine.order import spread
from breeding.genetics.kinship import kinship_of_positions
from breeding.genetics.pedigree import Pedigree
from registry.queries.catalogue import Inherits
from registry.queries.status.census import YEAR_UNKNOWN, Census

MOST_COMPARED = 400  # entries whose pairs are all looked at
FEWEST_CLASSES = 3  # year classes that a yearly rate is read from


@dataclass(frozen=True, slots=True)
class Size:
    """Ne by one method: None where the data do not allow it; infinite where nothing was lost. `basis` is in words.

    `ploidy` are the gene copies that its rate is told for.
    """

    method: str
    label: str
    size: float | None
    basis: str
    error: float | None = None
    ploidy: int = 2

    @property
    def rate(self) -> float | None:
        """Return the rate of inbreeding that goes with it: ΔF = 1/(2 Ne) in a diploid."""
        return None if self.size is None else 1 / (self.ploidy * self.size)

    @property
    def assumption(self) -> str:
        """Return what the method takes for granted."""
        return ne.ASSUMPTIONS[self.method]


@dataclass(frozen=True, slots=True)
class Parents:
    """Young of each parent among the living, (dams,) and (sires,); and the parents' mean F, weighted by their young."""

    dams: np.ndarray
    sires: np.ndarray
    inbreeding: float | None
    uncertain: bool = False


def parents_of_living(pedigree: Pedigree, living: Mapping[Hashable, float], inbreeding: np.ndarray) -> Parents:
    """Return how many of the living young each known parent has; a parent of probability p has p of a young fish."""
    families, unknown = pedigree.families, len(pedigree)
    of_family = np.zeros(len(families))
    np.add.at(of_family, pedigree.family[pedigree.positions(living)], list(living.values()))
    young = of_family[families.owner()] * families.probability
    sides = families.dam, families.sire
    by_side = [np.bincount(side, weights=young, minlength=unknown + 1)[:unknown] for side in sides]
    both = by_side[0] + by_side[1]
    mean = float(both @ inbreeding / both.sum()) if both.sum() else None
    return Parents(by_side[0][by_side[0] > 0], by_side[1][by_side[1] > 0], mean, not families.certain)


def of_parents(parents: Parents, inbreeding_of_young: float | None, ploidy: int = 2) -> list[Size]:
    """Return the sizes that follow from the parents of the living young."""
    dams, sires = parents.dams, parents.sires
    possible = "possible " if parents.uncertain else ""
    basis = f"{len(dams)} {possible}dams and {len(sires)} {possible}sires of the living young"
    if not len(dams) or not len(sires):
        return [Size("by_numbers", "Numbers of both sexes", None, "no living young of known dams and sires")]
    unequal = ne.by_numbers(ne.by_contributions(sires.tolist()), ne.by_contributions(dams.tolist()))
    spread = ne.by_sex_variance(dams.tolist(), sires.tolist())
    found = [
        Size("by_numbers", "Numbers of both sexes", ne.by_numbers(len(sires), len(dams)), basis),
        Size("by_contributions", "Contributions of the parents", unequal, f"shares of {basis}"),
        Size(
            "by_sex_variance",
            "Variance of young per parent",
            spread or None,
            f"living young counted per parent, {basis}",
        ),
        _of_both_sexes(np.concatenate([dams, sires]), basis),
    ]
    if parents.inbreeding is not None and inbreeding_of_young is not None:
        rate = ne.inbreeding_rate(parents.inbreeding, inbreeding_of_young)
        told = f"mean F of the parents {parents.inbreeding:.4f}, of their living young {inbreeding_of_young:.4f}"
        size = ne.by_inbreeding_rate(rate, ploidy)
        found.append(Size("by_inbreeding_rate", "Rate of inbreeding, one generation", size, told))
    return found


def _of_both_sexes(young: np.ndarray, basis: str) -> Size:
    label, method = "Variance of young per parent, sexes together", "by_family_variance"
    variance = ne.variance_at_two(young)
    if variance is None:
        return Size(method, label, None, f"fewer than two living young a parent, {basis}")
    size = ne.by_family_variance(len(young), variance)
    return Size(method, label, size, f"living young counted per parent, brought to two each, {basis}")


def of_increase(
    pedigree: Pedigree, living: Mapping[Hashable, float], of_all: tuple[np.ndarray, np.ndarray], inherits: Inherits
) -> list[Size]:
    """Return the sizes from the individual increase of inbreeding and from that of kinship, by F and depth of all."""
    at = pedigree.positions(living)
    counts = np.rint(list(living.values())).astype(int)
    base, ploidy = inherits.founder_inbreeding, inherits.ploidy
    # Double reduction keeps founders inbred; what is lost since is counted from there.
    since = np.maximum(0, (of_all[0][at] - base) / (1 - base))
    inbreeding, depth = np.repeat(since, counts), np.repeat(of_all[1][at], counts)
    single = ne.by_individual_increase(inbreeding, depth, ploidy=ploidy)
    told = f"{single.used} living fish; {single.left_out} with too little known pedigree left out"
    found = [Size("by_individual_increase", "Individual increase of inbreeding", single.size, told, single.error)]
    whole = ne.by_individual_increase(inbreeding, depth, own=True, ploidy=ploidy)
    label = "Individual increase, the fish's own generation counted"
    found.append(Size("by_individual_increase", label, whole.size, told, whole.error))
    if len(at) > MOST_COMPARED:
        at = at[np.linspace(0, len(at) - 1, MOST_COMPARED).astype(int)]
    pairs = ne.by_coancestry_increase(kinship_of_positions(pedigree, at), of_all[1][at], ploidy)
    told = f"{pairs.used} pairs among {len(at)} living fish: those that bred, and one of each family of the others"
    return [*found, Size("by_coancestry_increase", "Increase of kinship between fish", pairs.size, told, pairs.error)]


def of_years(classes: Mapping[int, tuple[float, float]], interval: float | None, ploidy: int = 2) -> Size:
    """Return the size from the yearly rate of inbreeding; `classes` holds number and mean F of each year class."""
    label, method = "Yearly rate of inbreeding", "by_yearly_rate"
    if interval is None:
        return Size(method, label, None, "the generation interval is not known yet on all four paths")
    if len(classes) < FEWEST_CLASSES:
        return Size(method, label, None, f"fewer than {FEWEST_CLASSES} year classes live")
    years = np.array(list(classes))
    counts, means = np.array(list(classes.values())).T
    slope = float(np.polyfit(years, np.log1p(-np.minimum(means, 0.999)), 1, w=np.sqrt(counts))[0])
    rate = 1 - np.exp(slope)
    told = f"{len(years)} living year classes, {years.min()} to {years.max()}; generation interval {interval:.1f} years"
    return Size(method, label, ne.by_yearly_rate(float(rate), interval, ploidy), told)


def of_seasons(pedigree: Pedigree, census: Census) -> Size:
    """Return the harmonic mean, over the living year classes, of the size by numbers of both sexes."""
    label, method = "Numbers of both sexes, harmonic mean over year classes", "over_generations"
    lines = census.lines
    dated = np.flatnonzero(lines.lives & (lines.hatched != YEAR_UNKNOWN))
    family = pedigree.family[pedigree.positions(census.names)][lines.name[dated]]
    years, families = np.unique(np.column_stack([lines.hatched[dated], family]), axis=0).reshape(-1, 2).T
    first = pedigree.families.first
    pairs, year = spread(first, families), np.repeat(years, first[families + 1] - first[families])
    counted = [
        _parents_a_year(year, side[pairs], len(pedigree)) for side in (pedigree.families.dam, pedigree.families.sire)
    ]
    both = sorted(set(counted[0]) & set(counted[1]))
    if not both:
        return Size(method, label, None, "no living year class of known dams and sires")
    sizes = [ne.by_numbers(counted[1][one], counted[0][one]) for one in both]
    return Size(method, label, ne.over_generations(sizes), f"{len(both)} living year classes, {both[0]} to {both[-1]}")


def _parents_a_year(year: np.ndarray, parents: np.ndarray, unknown: int) -> dict[int, int]:
    """Return how many different known parents the young of each year have."""
    known = parents != unknown
    each = np.unique(np.column_stack([year[known], parents[known]]), axis=0).reshape(-1, 2)
    years, counts = np.unique(each[:, 0], return_counts=True)
    return dict(zip(years.tolist(), counts.tolist(), strict=True))
