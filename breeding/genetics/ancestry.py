"""What descends along a pedigree besides kinship: generations, depth of knowledge, wild origin, age of parents."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass

import numpy as np

from breeding.genetics.engine.order import spread
from breeding.genetics.founders import Contributions
from breeding.genetics.pedigree import Pedigree

WILD, CAPTIVE = "wild", "captive"
PATHS = ("sire of sire", "sire of dam", "dam of sire", "dam of dam")


def handed_down(pedigree: Pedigree, founders: np.ndarray, step: float, unknown: float) -> np.ndarray:
    """A value that a fish has from its parents, by their share in its genes.

    Parameters
    ----------
    founders : (fish,) float
        The value of each founder; that of other fish is not looked at.
    step
        What is added from one generation to the next.
    unknown
        What an unknown parent adds, the step included.

    Returns
    -------
    (fish,) float
    """
    breeders, base = pedigree.breeders, pedigree.founders()
    steps = np.where(breeders.fish < len(pedigree), step, 0.0)  # a draw stands for its parents: no generation
    missing = (1 - breeders.weights.sum(axis=1)) * unknown
    of_rows = missing[breeders.line]
    rows = breeders.row_of[base]
    bred = rows < breeders.rows
    of_rows[rows[bred]] = founders[base[bred]]
    for start, parents, shares in breeders.steps:
        of_rows[start : start + shares.shape[0]] += shares @ (of_rows[parents] + steps[parents])
    result: np.ndarray = (breeders.weights @ (of_rows + steps) + missing)[pedigree.family]
    result[base] = founders[base]
    return result


def equivalent_generations(pedigree: Pedigree) -> np.ndarray:
    """Equivalent complete generations t of every fish, (fish,): Σ over known ancestors of ½ to the generation.

    The depth of the known pedigree: F and ΔF mean little where it is small.

    References
    ----------
    Maignel, Boichard and Verrier 1996, Genetic variability of French dairy breeds estimated from pedigree information.
    """
    return handed_down(pedigree, np.zeros(len(pedigree)), 1.0, 0.0)


def generations_in_captivity(pedigree: Pedigree) -> np.ndarray:
    """Generations in captivity of every fish, (fish,): 0 for founders, one more than the mean of the parents.

    Unknown parents count as wild, so the figure is the least possible.
    """
    return handed_down(pedigree, np.zeros(len(pedigree)), 1.0, 1.0)


def wild_share(pedigree: Pedigree, origins: Mapping[Hashable, str | None]) -> np.ndarray:
    """Least and greatest share of the genes of every fish that came from the wild, (fish, 2).

    A founder caught in the wild has 1, a captive one 0; of any other founder, and of unknown parents, nothing is known.
    """
    told = [origins.get(fish) for fish in pedigree.ids]
    low = np.array([origin == WILD for origin in told], dtype=float)
    high = np.array([origin != CAPTIVE for origin in told], dtype=float)
    return np.column_stack([handed_down(pedigree, low, 0.0, 0.0), handed_down(pedigree, high, 0.0, 1.0)])


def wild_origin(
    pedigree: Pedigree, found: Contributions, origins: Mapping[Hashable, str | None]
) -> tuple[float, float]:
    """Least and greatest share of the genes of a group that came from the wild, as :func:`wild_share`.

    Parameters
    ----------
    found
        Contributions to the group.

    Examples
    --------
    >>> from breeding.genetics.founders import contributions
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> pedigree = build_pedigree([ParentRow("Ida", "Ada", "Bo"), ParentRow("Jon", "Ida", None)])
    >>> wild_origin(pedigree, contributions(pedigree, ["Jon"]), {"Ada": "wild", "Bo": "captive"})
    (0.25, 0.75)
    """
    told = [origins.get(pedigree.ids[fish]) for fish in found.founders.tolist()]
    wild = np.array([origin == WILD for origin in told], dtype=bool)
    captive = np.array([origin == CAPTIVE for origin in told], dtype=bool)
    low = float(found.of_founders[wild].sum())
    return low, max(low, 1 - float(found.of_founders[captive].sum()))


@dataclass(frozen=True)
class GenerationInterval:
    """Mean age of parents at the birth of young that became parents themselves.

    Attributes
    ----------
    years
        Mean over the four paths, None unless each is known.
    paths
        Mean age by path, None where nothing is known of it.
    pairs
        Parents and young counted, by path; a parent of probability p counts p.
    """

    years: float | None
    paths: dict[str, float | None]
    pairs: dict[str, float]


def generation_interval(pedigree: Pedigree, born: Mapping[Hashable, float]) -> GenerationInterval:
    """Generation interval over the four paths from sire and dam to sire and dam.

    Parameters
    ----------
    born
        Year of birth, fractions allowed; parents and young without one are left out. With frozen milt the age runs on
        after death.

    References
    ----------
    Hill 1979, A note on effective population size with overlapping generations, Genetics 92: 317-322.
    """
    families, unknown = pedigree.families, len(pedigree)
    year = np.array([born.get(fish, np.nan) for fish in pedigree.ids] + [np.nan], dtype=float)
    roles = [np.zeros(unknown + 1, dtype=bool) for _ in range(2)]
    roles[0][families.sire] = True
    roles[1][families.dam] = True
    ages: dict[str, float | None] = {}
    pairs: dict[str, float] = {}
    young = np.repeat(np.arange(unknown), np.diff(families.first)[pedigree.family])
    pair = spread(families.first, pedigree.family)
    for number, path in enumerate(PATHS):
        parent = (families.sire, families.dam)[number // 2][pair]
        age = year[young] - year[parent]
        used = roles[number % 2][young] & ~np.isnan(age)
        weight = families.probability[pair][used]
        pairs[path] = float(weight.sum())
        ages[path] = float(weight @ age[used] / weight.sum()) if len(weight) else None
    known = [age for age in ages.values() if age is not None]
    return GenerationInterval(sum(known) / 4 if len(known) == 4 else None, ages, pairs)
