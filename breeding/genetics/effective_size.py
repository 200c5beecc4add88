"""Effective size Ne: the number of parents of an ideal population that would lose diversity as fast.

Each method takes something else for granted, which is said in its docstring and, for a page, in ``ASSUMPTIONS``.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

ASSUMPTIONS = {
    "by_numbers": "Every parent of one sex has the same chance of offspring; one generation.",
    "by_family_variance": "Constant numbers; survival from the counted young to two a parent by chance alone.",
    "by_sex_variance": "Offspring counted per parent at release or survival; one generation.",
    "by_contributions": "Parents unrelated and not inbred; only unequal contributions count.",
    "over_generations": "Each year class stands for a generation of its own; the smallest weighs most.",
    "by_inbreeding_rate": "Generations do not overlap and the whole pedigree is known.",
    "by_individual_increase": "Depth of each fish's known pedigree stands for its generation.",
    "by_coancestry_increase": "As by individual increase, and all pairs of the group are looked at.",
    "by_yearly_rate": "A steady yearly rate and a constant generation interval.",
    "with_release": "One generation; hatchery and wild parents are unrelated groups that mix fully.",
}


class Increase(NamedTuple):
    """Effective size from individual increases.

    Attributes
    ----------
    size
        Ne; infinite where nothing increased, None where nothing could be computed.
    error
        Its standard error, from the spread of the increases; None with fewer than two.
    used, left_out
        Fish or pairs with and without enough known pedigree.
    """

    size: float | None
    error: float | None
    used: int
    left_out: int


def by_numbers(males: float, females: float) -> float:
    """Ne = 4 Nm Nf / (Nm + Nf), from the numbers of both sexes only (Wright 1931, Genetics 16: 97-159)."""
    return 4 * males * females / (males + females) if males and females else 0.0


def by_family_variance(parents: float, variance: float) -> float:
    """Ne = (4N - 2)/(Vk + 2), Vk the variance of offspring per parent, mean 2 (Crow and Kimura 1970)."""
    return (4 * parents - 2) / (variance + 2)


def variance_at_two(offspring: np.ndarray) -> float | None:
    """The variance that offspring counted per parent, (parents,), would have if every parent had two on average.

    2(1 + 2(V/k - 1)/k), k the mean counted, survival to two a parent being by chance alone; None where k is below 2,
    since young cannot be added by chance (Crow and Morton 1955, Measurement of gene frequency drift in small
    populations, Evolution 9: 202-214, from memory).
    """
    mean = offspring.mean()
    return float(2 * (1 + 2 * (offspring.var() / mean - 1) / mean)) if mean >= 2 else None


def by_sex_variance(females: Sequence[float], males: Sequence[float]) -> float:
    """Ne from offspring counted per parent, whatever their mean.

    Within a sex (N·k - 1)/(k - 1 + Vk/k), k the mean and Vk the population variance, then the two sexes as in
    :func:`by_numbers` (Crow and Denniston 1988; Lande and Barrowclough 1987).
    """
    return by_numbers(_within_sex(males), _within_sex(females))


def _within_sex(offspring: Sequence[float]) -> float:
    counts = np.asarray(offspring, dtype=float)
    mean = counts.mean() if len(counts) else 0.0
    return float((len(counts) * mean - 1) / (mean - 1 + counts.var() / mean)) if mean > 1 else 0.0


def by_contributions(shares: Sequence[float]) -> float:
    """Ne = 1/Σc² of the parents' shares in the offspring, scaled to add up to 1."""
    counts = np.asarray(shares, dtype=float)
    return float(counts.sum() ** 2 / np.square(counts).sum())


def over_generations(sizes: Sequence[float]) -> float:
    """Harmonic mean of the sizes of successive generations: the smallest weighs most."""
    return float(len(sizes) / (1 / np.asarray(sizes, dtype=float)).sum())


def inbreeding_rate(before: float, after: float) -> float:
    """ΔF = (F - F')/(1 - F') from one generation to the next."""
    return (after - before) / (1 - before)


def by_inbreeding_rate(rate: float, ploidy: int = 2) -> float:
    """Ne = 1/(2ΔF); infinite where inbreeding did not rise.

    With v gene copies 1/(vΔF): N fish hold vN copies, of which two drawn for the next generation are one in 1/(vN).
    """
    return 1 / (ploidy * rate) if rate > 0 else float("inf")


def individual_increase(inbreeding: np.ndarray, generations: np.ndarray, *, own: bool = False) -> np.ndarray:
    """ΔF of each fish, 1 - (1 - F)^(1/(t - 1)), (fish,); not a number where t is 1 or less.

    Parameters
    ----------
    inbreeding, generations : (fish,) float
        F and equivalent complete generations t.
    own
        Count the fish's own generation, exponent 1/t (Gutierrez et al. 2008, Genet. Sel. Evol. 40: 359-378), instead of
        leaving it out, 1/(t - 1) (Gutierrez et al. 2009).
    """
    steps = np.asarray(generations, dtype=float) - (0 if own else 1)
    known = (np.asarray(generations) > 1) & (steps > 0)
    increase = np.full(np.shape(inbreeding), np.nan)
    increase[known] = 1 - (1 - np.asarray(inbreeding, dtype=float)[known]) ** (1 / steps[known])
    return increase


def by_individual_increase(
    inbreeding: np.ndarray, generations: np.ndarray, *, own: bool = False, ploidy: int = 2
) -> Increase:
    """Ne from the mean ΔF over fish, with its standard error; arguments as for :func:`individual_increase`.

    F is counted from the founders: where they are inbred by double reduction already, (F - F₀)/(1 - F₀).
    """
    return _from_increases(individual_increase(inbreeding, generations, own=own), ploidy)


def by_coancestry_increase(kinship: np.ndarray, generations: np.ndarray, ploidy: int = 2) -> Increase:
    """Ne from the increase of kinship between fish: Δc = 1 - (1 - c)^(2/(t + t')).

    Parameters
    ----------
    kinship : (fish, fish) float
        Self-kinship on the diagonal is left out.
    generations : (fish,) float
        Equivalent complete generations; pairs without any known ancestor are left out.

    References
    ----------
    Cervantes et al. 2011, Estimation of effective population size from the rate of coancestry in pedigreed populations,
    J. Anim. Breed. Genet. 128: 56-63 (from memory).
    """
    one, other = np.triu_indices(len(kinship), 1)
    steps = (generations[one] + generations[other]) / 2
    increase = np.full(len(one), np.nan)
    known = steps > 0
    increase[known] = 1 - (1 - kinship[one, other][known]) ** (1 / steps[known])
    return _from_increases(increase, ploidy)


def _from_increases(increases: np.ndarray, ploidy: int) -> Increase:
    used = increases[~np.isnan(increases)]
    left_out = len(increases) - len(used)
    if not len(used):
        return Increase(None, None, 0, left_out)
    size = by_inbreeding_rate(float(used.mean()), ploidy)
    error = None
    if len(used) > 1 and np.isfinite(size):
        error = float(ploidy * size**2 * used.std(ddof=1) / np.sqrt(len(used)))
    return Increase(size, error, len(used), left_out)


def by_yearly_rate(rate: float, interval: float, ploidy: int = 2) -> float:
    """Ne per generation from the yearly rate of inbreeding and the generation interval L: 1/(2 ΔFy L) (Hill 1979)."""
    return by_inbreeding_rate(rate * interval, ploidy)


def with_release(share: float, hatchery: float, wild: float) -> float:
    """Ne of a wild stock that is supported by releases: 1/Ne = x²/Nc + (1 - x)²/Nw.

    Parameters
    ----------
    share
        x, of the next generation that comes from the hatchery.
    hatchery, wild
        Effective numbers of parents Nc and Nw. A warning light for one generation, not a forecast.

    References
    ----------
    Ryman and Laikre 1991, Effects of supportive breeding on the genetically effective population size, Conserv. Biol.
    5: 325-329.
    """
    return 1 / (share**2 / hatchery + (1 - share) ** 2 / wild)


def harmless_share(hatchery: float, wild: float) -> float:
    """Greatest share of released fish at which the effective size does not fall below the wild one, 2Nc/(Nc + Nw)."""
    return min(1.0, 2 * hatchery / (hatchery + wild))


def best_share(hatchery: float, wild: float) -> float:
    """Share of released fish with the largest effective size, Nc/(Nc + Nw); the size is then Nc + Nw."""
    return hatchery / (hatchery + wild)


def gene_diversity_after(generations: float, size: float, *, founders: float | None = None) -> float:
    """Gene diversity GD₀(1 - 1/(2Ne))^t after t generations; GD₀ = 1 - 1/(2·founders), or 1 where none are given."""
    start = 1.0 if founders is None else 1 - 1 / (2 * founders)
    return float(start * (1 - 1 / (2 * size)) ** generations)


def size_to_keep(diversity: float, generations: float, *, founders: float | None = None) -> float | None:
    """Ne that keeps a gene diversity for some generations; None where the founders began with less."""
    start = 1.0 if founders is None else 1 - 1 / (2 * founders)
    return float(1 / (2 * (1 - (diversity / start) ** (1 / generations)))) if start > diversity else None
