"""Founders: how much each contributed to the living, and how many equal founders that is worth."""

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np

from breeding.genetics.diversity import breeder_weights
from breeding.genetics.engine.ancestors import marginal_contributions
from breeding.genetics.engine.living import Living, LivingFish, living_group
from breeding.genetics.engine.parts import with_shared_parents
from breeding.genetics.engine.result import passed_on
from breeding.genetics.pedigree import Pedigree

SIDES = ("unknown-dam", "unknown-sire")


@dataclass(frozen=True, eq=False)
class Contributions:
    """Expected share of the genes of the living that each founder handed down.

    Attributes
    ----------
    founders : (founders,) int
        Positions of the fish whose parents are both unknown.
    of_founders : (founders,) float
    child, side : (unknown,) int
        The other founders, unknown parents, told by the fish they are parent of and 0 for its dam, 1 for its sire.
    of_unknown : (unknown,) float
        Together with ``of_founders`` this adds up to 1.
    count : (unknown,) float
        How many distinct unknown parents an entry stands for: as many as untagged sibs counted together.
    """

    founders: np.ndarray
    of_founders: np.ndarray
    child: np.ndarray
    side: np.ndarray
    of_unknown: np.ndarray
    count: np.ndarray


def contributions(pedigree: Pedigree, living: LivingFish = None) -> Contributions:
    """Founder contributions to a living group.

    Parameters
    ----------
    living
        Names, or counts by name; every fish by default.

    References
    ----------
    Lacy 1989, Analysis of founder representation in pedigrees, Zoo Biol. 8: 111-123.

    Examples
    --------
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> pedigree = build_pedigree([ParentRow("Ida", "Ada", "Bo"), ParentRow("Jon", "Ida", None)])
    >>> found = contributions(pedigree, ["Jon"])
    >>> [pedigree.ids[fish] for fish in found.founders], found.of_founders.tolist(), found.of_unknown.tolist()
    (['Ada', 'Bo'], [0.25, 0.25], [0.5])
    """
    group = living_group(pedigree, living)
    own, _ = breeder_weights(pedigree, group)
    through = _through_fish(pedigree, group, passed_on(pedigree.breeders, own))
    founders = pedigree.founders()
    child, side, share = unknown_parents(pedigree)
    counts = np.ones(len(pedigree))
    counts[group.fish] = group.counts
    shared = pedigree.families.shared[pedigree.family[child]]
    return Contributions(
        founders=founders,
        of_founders=through[founders],
        child=child,
        side=side,
        of_unknown=through[child] * share,
        count=np.where(shared, 1.0, counts[child]),
    )


def _through_fish(pedigree: Pedigree, group: Living, through_rows: np.ndarray) -> np.ndarray:
    """Share of the genes that went through each fish, (fish,); through the first fish of a draw for the whole draw."""
    breeders = pedigree.breeders
    through = np.zeros(len(pedigree))
    through[group.fish] = group.counts / group.total
    known = breeders.fish < len(pedigree)
    through[breeders.fish[known]] = through_rows[known]
    first, draw_rows = first_of_draws(pedigree)
    through[first] = through_rows[draw_rows]
    return through


def first_of_draws(pedigree: Pedigree) -> tuple[np.ndarray, np.ndarray]:
    """The fish whose name stands for a draw (the smallest, as text), and the row of that draw."""
    families, breeders = pedigree.families, pedigree.breeders
    draws = np.flatnonzero(families.shared)
    chosen: dict[int, int] = {}
    for fish in np.flatnonzero(families.shared[pedigree.family]).tolist():
        family = int(pedigree.family[fish])
        if family not in chosen or str(pedigree.ids[fish]) < str(pedigree.ids[chosen[family]]):
            chosen[family] = fish
    at = np.full(len(draws), breeders.rows)
    rows = np.flatnonzero(breeders.fish >= len(pedigree))
    at[breeders.fish[rows] - len(pedigree) - 1] = rows
    return np.array([chosen[family] for family in draws.tolist()], dtype=int), at


def unknown_parents(pedigree: Pedigree) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Unknown parents of fish that are no founders.

    Returns
    -------
    child, side : (unknown,) int
        Position of the fish, and 0 for its dam, 1 for its sire; one fish stands for all that share a draw.
    share : (unknown,) float
        Expected share of the genes of the fish that come from it.
    """
    families = pedigree.families
    shares = unknown_chances(pedigree) * families.copies / families.copies.sum(axis=1)[:, None]
    stands = ~families.shared[pedigree.family]
    stands[first_of_draws(pedigree)[0]] = True
    fish = np.flatnonzero(stands & (shares.max(axis=1, initial=0) > 0)[pedigree.family])
    place, sides = np.nonzero(shares[pedigree.family[fish]] > 0)
    child = fish[place]
    return child, sides, shares[pedigree.family[child], sides]


def unknown_chances(pedigree: Pedigree) -> np.ndarray:
    """Probability that the dam and the sire of a fish of each family are unknown, (families, 2); 0 for founders."""
    families = pedigree.families
    owner = families.owner()
    chances = np.zeros((len(families), 2))
    for side, parents in enumerate((families.dam, families.sire)):
        unknown = families.probability * (parents == len(pedigree))
        chances[:, side] = np.bincount(owner, weights=unknown, minlength=len(families))
    chances[pedigree.founder_families] = 0
    return chances


def unknown_name(fish: Hashable, side: int) -> str:
    """Name of an unknown parent, after the fish it is parent of."""
    return f"{SIDES[side]}:{fish}"


def founder_equivalents(found: Contributions) -> float:
    """Equal founders that would be as diverse as those that contributed: 1/Σp² (Lacy 1989)."""
    squares = np.square(found.of_founders).sum() + (np.square(found.of_unknown) / found.count).sum()
    return float(1 / squares)


def effective_ancestors(pedigree: Pedigree, living: LivingFish = None) -> float | None:
    """Effective number of ancestors, founders or not: 1/Σp² of their marginal contributions.

    Ancestors are taken greatest first, each with what those taken before leave unexplained. Living fish that never bred
    are no ancestors, unless they are founders. None where any parentage is uncertain, since it is then unknown whose
    ancestors a fish has. At most :func:`founder_equivalents`; less where a few fish stood between founders and living.

    References
    ----------
    Boichard, Maignel and Verrier 1997, The value of using probabilities of gene origin to measure genetic variability
    in a population, Genet. Sel. Evol. 29: 5-23.
    """
    if not pedigree.families.certain:
        return None
    group = living_group(pedigree, living)
    pedigree = with_shared_parents(pedigree)
    weights, _ = breeder_weights(pedigree, group)
    squares = np.square(marginal_contributions(pedigree.breeders, weights)).sum()
    never_bred = pedigree.breeders.row_of[group.fish] == pedigree.breeders.rows
    leaves = group.fish[never_bred]
    share = pedigree.founder_families[pedigree.family[leaves]].astype(float)
    child, _, of_unknown = unknown_parents(pedigree)
    unknown_share = np.bincount(child, weights=of_unknown**2, minlength=len(pedigree))
    own = (share + unknown_share[leaves]) * group.counts[never_bred] / group.total**2
    return float(1 / (squares + own.sum()))
