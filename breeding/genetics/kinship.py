"""Kinship of any fish: what two genes drawn at random from two fish have in common by descent."""

from collections.abc import Hashable, Sequence
from weakref import WeakKeyDictionary

import numpy as np
from scipy import sparse

from breeding.genetics.engine.factor import ancestors_at_most, factor_kinship
from breeding.genetics.engine.order import spread
from breeding.genetics.engine.parts import ancestry_of, assignments
from breeding.genetics.engine.result import BreederKinship
from breeding.genetics.engine.rolling import needs_of, rolling_kinship
from breeding.genetics.errors import TooLargeError
from breeding.genetics.pedigree import Pedigree

TABLE_BYTES = 2**30
FACTOR_ENTRIES = 80_000_000
# Up to so many fish it is not worth while to look for the ancestors of some.
SMALL = 500
# One entry of a sparse factor costs as much time as so many of a table.
ENTRY_COST = 20

_kept: WeakKeyDictionary[Pedigree, BreederKinship] = WeakKeyDictionary()


def breeder_kinship(pedigree: Pedigree) -> BreederKinship:
    """Kinship among the breeders of a pedigree, computed once for each pedigree and kept as long as it lives.

    Raises
    ------
    TooLargeError
        The pedigree is both too deep and too wide for the memory.
    """
    found = _kept.get(pedigree)
    if found is None:
        found = _kept[pedigree] = _compute(pedigree)
    return found


def _compute(pedigree: Pedigree) -> BreederKinship:
    breeders = pedigree.breeders
    entries, needs = ancestors_at_most(breeders), needs_of(breeders)
    table_fits = 8 * needs.size**2 <= TABLE_BYTES
    if entries <= FACTOR_ENTRIES and (entries * ENTRY_COST <= needs.cost or not table_fits):
        return factor_kinship(breeders, pedigree.founder_kinship)
    if table_fits:
        return rolling_kinship(breeders, needs, pedigree.founder_kinship)
    raise TooLargeError(
        f"{needs.size} breeders are needed at once, a table of {8 * needs.size**2 / 2**30:.1f} GiB where "
        f"{TABLE_BYTES / 2**30:.1f} GiB are allowed. Compute the stocks, or the later generations, by themselves."
    )


def self_kinship(pedigree: Pedigree) -> np.ndarray:
    """Kinship of every fish with itself, (fish,): ½(1 + F) in a diploid."""
    return self_kinship_of_positions(pedigree, np.arange(len(pedigree)))


def self_kinship_of_positions(pedigree: Pedigree, fish: np.ndarray) -> np.ndarray:
    """Kinship of some fish with themselves, (n,)."""
    kinship = breeder_kinship(pedigree)
    result = kinship.line_alone[pedigree.family[fish]]
    related = pedigree.founder_kinship
    if related is not None:
        rows = pedigree.breeders.row_of[fish]
        result = np.where(rows < pedigree.breeders.rows, kinship.alone[rows], result)
    return result


def kinship_among(pedigree: Pedigree, fish: Sequence[Hashable]) -> np.ndarray:
    """Kinship of every fish named with every other.

    Parameters
    ----------
    fish
        Names, in any order.

    Returns
    -------
    (n, n) float
        Self-kinship on the diagonal: ½(1 + F) in a diploid, not 1.

    Raises
    ------
    UnknownFishError
        A name is not in the pedigree.

    Examples
    --------
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> pedigree = build_pedigree([ParentRow("Ida", "Ada", "Bo"), ParentRow("Jon", "Ada", "Bo")])
    >>> kinship_among(pedigree, ["Ida", "Jon", "Ada"]).tolist()
    [[0.5, 0.25, 0.25], [0.25, 0.5, 0.25], [0.25, 0.25, 0.5]]
    """
    return kinship_of_positions(pedigree, pedigree.positions(fish))


def kinship_of_positions(pedigree: Pedigree, fish: np.ndarray) -> np.ndarray:
    """The same for fish given by position, (n,) int; only their ancestors are looked at."""
    distinct, place = np.unique(fish, return_inverse=True)
    if len(pedigree) > SMALL:
        part, among_part = ancestry_of(pedigree, distinct)
        if pedigree not in _kept or 2 * part.breeders.rows < pedigree.breeders.rows:
            pedigree, distinct = part, among_part
    genes = genes_of(pedigree, distinct)
    among = breeder_kinship(pedigree).among(genes, genes)
    among = (among + among.T) / 2
    np.fill_diagonal(among, self_kinship_of_positions(pedigree, distinct))
    return among[np.ix_(place, place)]


def kinship_between(pedigree: Pedigree, a: Hashable, b: Hashable) -> float:
    """Kinship of two fish; of a fish with itself if both are the same."""
    return float(kinship_among(pedigree, [a, b])[0, 1])


def genes_of(pedigree: Pedigree, fish: np.ndarray) -> sparse.csr_array:
    """Which breeders the genes of each fish come from, (n, rows): a breeder's from itself, others' from the parents."""
    breeders = pedigree.breeders
    rows = breeders.row_of[fish]
    bred = rows < breeders.rows
    first, family = breeders.weights.indptr, pedigree.family[fish]
    counts = np.where(bred, 1, first[family + 1] - first[family])
    ends = np.cumsum(counts)
    own = np.zeros(int(counts.sum()), dtype=bool)
    own[(ends - counts)[bred]] = True
    source = spread(first, family[~bred])
    indices, shares = np.empty(len(own), dtype=int), np.ones(len(own))
    indices[own], indices[~own] = rows[bred], breeders.weights.indices[source]
    shares[~own] = breeders.weights.data[source]
    return sparse.csr_array((shares, indices, np.append(0, ends)), shape=(len(fish), breeders.rows))


def kinship_range(pedigree: Pedigree, a: Hashable, b: Hashable, *, most: int = 256) -> tuple[float, float] | None:
    """Least and greatest kinship that two fish can have, over all their possible ancestors.

    Parameters
    ----------
    most
        None is returned where more assignments of parents than this are possible.

    Examples
    --------
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> rows = [ParentRow("Ida", "Ada", "Bo", 0.7), ParentRow("Ida", "Ada", "Cy", 0.3), ParentRow("Jon", "Eva", "Bo")]
    >>> kinship_range(build_pedigree(rows), "Ida", "Jon")
    (0.0, 0.125)
    """
    part, at = ancestry_of(pedigree, pedigree.positions([a, b]))
    number, possible = assignments(part)
    if number > most:
        return None
    found = [float(kinship_of_positions(certain, at)[0, 1]) for certain in possible]
    return min(found), max(found)
