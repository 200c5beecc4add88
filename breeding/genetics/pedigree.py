"""One pedigree type for everything: parentage as a distribution, told once per family, parents before young."""

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from breeding.genetics.engine.breeders import Breeders, compile_breeders
from breeding.genetics.engine.families import Families, certain_families, group_pairs
from breeding.genetics.engine.rows import Inheritance, ParentRow, collect
from breeding.genetics.errors import InheritanceError, PedigreeError, UnknownFishError
from breeding.genetics.founder_kinship import FounderKinship, checked_founder_kinship

if TYPE_CHECKING:
    import networkx as nx

__all__ = ["Inheritance", "ParentRow", "Pedigree", "build_pedigree", "inheritance", "pedigree_from_arrays"]


@dataclass(frozen=True, eq=False)
class Pedigree:
    """Fish and their parents; never changed, a changed parentage is a new pedigree.

    Attributes
    ----------
    ids : (fish,)
        Names; a fish seen only as a parent comes after the fish that have rows of their own.
    family : (fish,) int
        Family of each fish.
    families : Families
        The parents of each family, as fish indices.
    own_rows : int
        How many of the fish had rows of their own.
    founder_kinship : FounderKinship or None
        Kinship among founders that are not unrelated.
    """

    ids: Sequence[Hashable]
    family: np.ndarray
    families: Families
    own_rows: int
    founder_kinship: FounderKinship | None = None

    def __len__(self) -> int:
        return len(self.family)

    @cached_property
    def _index(self) -> dict[Hashable, int]:
        return {fish: number for number, fish in enumerate(self.ids)}

    @cached_property
    def breeders(self) -> Breeders:
        """The fish that are parents, ordered and ready to compute with."""
        kept = None if self.founder_kinship is None else self.founder_kinship.fish
        return compile_breeders(self.ids, self.family, self.families, kept)

    @cached_property
    def ploidy(self) -> np.ndarray:
        """Gene copies of each fish, (fish,)."""
        return self.families.copies.sum(axis=1)[self.family]

    @cached_property
    def founder_families(self) -> np.ndarray:
        """Whether both parents of a family are unknown and not shared, (families,)."""
        known = (self.families.dam < len(self)) | (self.families.sire < len(self))
        any_known = np.zeros(len(self.families), dtype=bool)
        any_known[self.families.owner()[known]] = True
        return ~any_known & ~self.families.shared

    def founders(self) -> np.ndarray:
        """Indices of the fish whose parents are both unknown."""
        return np.flatnonzero(self.founder_families[self.family])

    def positions(self, fish: Iterable[Hashable]) -> np.ndarray:
        """Indices of fish by name.

        Raises
        ------
        UnknownFishError
            Naming those that the pedigree does not hold.
        """
        wanted = list(fish)
        index = self._index
        missing = [name for name in wanted if name not in index]
        if missing:
            raise UnknownFishError(missing)
        return np.array([index[name] for name in wanted], dtype=int)

    def graph(self) -> "nx.DiGraph":
        """The pedigree as a graph, parent → fish with its probability, for ancestors, components and drawing."""
        # Imported only for those who want a graph: the import is slower than most computations here.
        import networkx as nx  # noqa: PLC0415

        graph = nx.DiGraph()
        graph.add_nodes_from(self.ids)
        pairs = list(zip(self.families.dam, self.families.sire, self.families.probability, strict=True))
        first = self.families.first
        for fish, family in enumerate(self.family.tolist()):
            for dam, sire, probability in pairs[first[family] : first[family + 1]]:
                for parent in {dam, sire} - {len(self)}:
                    already = graph.get_edge_data(self.ids[parent], self.ids[fish], {"probability": 0.0})
                    chance = float(already["probability"] + probability)
                    graph.add_edge(self.ids[parent], self.ids[fish], probability=chance)
        return graph


def inheritance(ploidy: int = 2, double_reduction: float = 0.0) -> Inheritance:
    """The default inheritance of a pedigree: half of the gene copies from each parent."""
    if ploidy < 2 or ploidy % 2:
        raise InheritanceError(f"Ploidy {ploidy} cannot be halved between the parents. Use 2, 4, 6 or 8.")
    if not 0 <= double_reduction <= 1:
        raise InheritanceError(f"Double reduction {double_reduction:g} is impossible. It must lie from 0 to 1.")
    half = ploidy // 2
    effective = float(double_reduction) if half > 1 else 0.0
    return Inheritance((half, half), (effective, effective))


def build_pedigree(
    rows: Iterable[ParentRow],
    *,
    ploidy: int = 2,
    double_reduction: float = 0.0,
    founder_kinship: tuple[Sequence[Hashable], np.ndarray] | None = None,
) -> Pedigree:
    """Build a pedigree from parent rows in any order.

    Parameters
    ----------
    rows
        One or more rows per fish; a fish without a row is a founder.
    ploidy
        Gene copies of a fish, unless its rows say otherwise.
    double_reduction
        λ of every gamete, unless the rows say otherwise; without effect in diploids.
    founder_kinship : (ids, (ids, ids) array), optional
        Kinship among founders, self-kinship on the diagonal; other founders are unrelated.

    Raises
    ------
    CycleError, ProbabilityError, DrawError, InheritanceError, FounderKinshipError
        With the fish concerned.

    Examples
    --------
    >>> pedigree = build_pedigree([ParentRow("Ida", "Ada", "Bo"), ParentRow("Jon", "Ada", "Bo")])
    >>> pedigree.ids
    ('Ida', 'Jon', 'Ada', 'Bo')
    >>> int(pedigree.family[0] == pedigree.family[1])
    1
    """
    pedigree = Pedigree(*collect(rows, inheritance(ploidy, double_reduction)))
    if founder_kinship is not None:
        pedigree = with_related_founders(pedigree, *founder_kinship)
    _ = pedigree.breeders  # a loop is refused here, not at the first figure
    return pedigree


def with_related_founders(pedigree: Pedigree, founders: Sequence[Hashable], matrix: np.ndarray) -> Pedigree:
    """The same pedigree with kinship among its founders, (founders, founders), self-kinship on the diagonal.

    Raises
    ------
    FounderKinshipError, UnknownFishError
        With the founders concerned.
    """
    checked = checked_founder_kinship(pedigree, pedigree.positions(founders), matrix)
    return replace(pedigree, founder_kinship=checked)


def pedigree_from_arrays(
    dam: np.ndarray,
    sire: np.ndarray,
    *,
    ids: Sequence[Hashable] | None = None,
    ploidy: int = 2,
    double_reduction: float = 0.0,
) -> Pedigree:
    """Build a pedigree of known or unknown parents from arrays, for a million fish at once.

    Parameters
    ----------
    dam, sire : (fish,) int
        Position of each parent; the number of fish (one past the last) means unknown.
    ids : (fish,), optional
        Names; positions by default.

    Raises
    ------
    PedigreeError
        Positions out of range or arrays of different length.
    CycleError
        A fish is its own ancestor.
    """
    fish = len(dam)
    if len(sire) != fish:
        raise PedigreeError(f"There are {fish} dams and {len(sire)} sires. Give one of each per fish.")
    for parents in (dam, sire):
        if fish and (parents.min() < 0 or parents.max() > fish):
            raise PedigreeError(f"Parents must be positions from 0 to {fish - 1}, or {fish} where unknown.")
    representative, family = group_pairs(dam, sire, fish)
    copies, reduction = inheritance(ploidy, double_reduction)
    families = certain_families(dam[representative], sire[representative], copies, reduction)
    pedigree = Pedigree(range(fish) if ids is None else ids, family, families, own_rows=fish)
    _ = pedigree.breeders
    return pedigree
