"""Kinship of any fish: what two genes drawn at random from two fish have in common by descent."""

from collections.abc import Hashable, Sequence
from weakref import WeakKeyDictionary

import numpy as np
from scipy import sparse

from breeding.genetics.engine.alone import self_kinship_of
from breeding.genetics.engine.factor import KinshipFactor, ancestors_at_most, kinship_factor
from breeding.genetics.engine.tabular import KinshipTable, kinship_table
from breeding.genetics.errors import TooLargeError
from breeding.genetics.pedigree import Pedigree, ancestry_of

# A table of 11,000 breeders is just under a gibibyte.
TABLE_BYTES = 2**30
FACTOR_ENTRIES = 100_000_000

_kept: WeakKeyDictionary[Pedigree, KinshipTable | KinshipFactor] = WeakKeyDictionary()


def breeder_kinship(pedigree: Pedigree) -> KinshipTable | KinshipFactor:
    """Kinship among the breeders of a pedigree, computed once for each pedigree and kept as long as it lives.

    Raises
    ------
    TooLargeError
        Neither way of holding it fits into memory.
    """
    found = _kept.get(pedigree)
    if found is None:
        found = _kept[pedigree] = _compute(pedigree)
    return found


def _compute(pedigree: Pedigree) -> KinshipTable | KinshipFactor:
    breeders = pedigree.breeders
    entries = ancestors_at_most(breeders)
    table_bytes = 8 * (breeders.rows + 1) ** 2
    if table_bytes <= TABLE_BYTES and 8 * entries > breeders.rows**2:
        return kinship_table(breeders, pedigree.founder_kinship)
    if entries <= FACTOR_ENTRIES:
        return kinship_factor(breeders, pedigree.founder_kinship)
    raise TooLargeError(
        f"Kinship among {breeders.rows} breeders needs {table_bytes / 2**30:.1f} GiB, more than the "
        f"{TABLE_BYTES / 2**30:.1f} GiB allowed. Compute a part of the pedigree."
    )


def family_self_kinship(pedigree: Pedigree) -> np.ndarray:
    """Kinship with itself of a fish of each family, (families,)."""
    breeders, kinship = pedigree.breeders, breeder_kinship(pedigree)
    return self_kinship_of(breeders, np.arange(len(pedigree.families)), kinship.alone, kinship.pairs)


def self_kinship(pedigree: Pedigree) -> np.ndarray:
    """Kinship of every fish with itself, (fish,): ½(1 + F) in a diploid."""
    result = family_self_kinship(pedigree)[pedigree.family]
    if pedigree.founder_kinship is not None:
        result[pedigree.founder_kinship.fish] = np.diag(pedigree.founder_kinship.matrix)
    return result


def self_kinship_of_positions(pedigree: Pedigree, fish: np.ndarray) -> np.ndarray:
    """Kinship of some fish with themselves, (n,)."""
    breeders, kinship = pedigree.breeders, breeder_kinship(pedigree)
    result = self_kinship_of(breeders, pedigree.family[fish], kinship.alone, kinship.pairs)
    rows = breeders.row_of[fish]
    return np.where(rows < breeders.rows, kinship.alone[rows], result)


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
    if pedigree not in _kept:
        pedigree, distinct = ancestry_of(pedigree, distinct)
    kinship = breeder_kinship(pedigree)
    genes = genes_of(pedigree, distinct)
    among = kinship.among(genes, genes)
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
    genes = breeders.weights[pedigree.family[fish]]
    if not bred.any():
        return genes
    own = sparse.csr_array(
        (np.ones(np.count_nonzero(bred)), (np.flatnonzero(bred), rows[bred])), shape=(len(fish), breeders.rows)
    )
    return (sparse.diags_array((~bred).astype(float)) @ genes + own).tocsr()
