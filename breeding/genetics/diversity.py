"""What a living group keeps of its founders' diversity: mean kinship, group coancestry, gene diversity.

A group is told as names, or as counts by name: an entry with a count above 1 stands for that many distinct fish of one
parentage (a batch of untagged sibs), none of which has bred.

With θ the mean kinship over all ordered pairs, self included, and weights w that add up to 1: the weight of fish that
never bred is handed to their parents, c, and θ = cᵀKc + Σ w² m, m being self-kinship less the kinship of two such sibs.
"""

from collections.abc import Hashable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from breeding.genetics.engine.living import Living, LivingFish, living_group
from breeding.genetics.kinship import breeder_kinship, genes_of, kinship_of_positions
from breeding.genetics.pedigree import Pedigree
from breeding.genetics.polysomic import fish_terms


@dataclass(frozen=True, eq=False)
class GroupKinship:
    """Kinship within a living group.

    Attributes
    ----------
    living : Living
    mean_kinship : (n,) float
        Of each entry with the whole group, itself included.
    alone : (n,) float
        Self-kinship of each entry.
    coancestry
        θ, the mean over all ordered pairs, self included.
    breeder_weights, breeder_kinship : (rows,) float
        Weight of each breeder once the others handed theirs to their parents, and its kinship with the group.
    """

    living: Living
    mean_kinship: np.ndarray
    alone: np.ndarray
    coancestry: float
    breeder_weights: np.ndarray
    breeder_kinship: np.ndarray

    @property
    def mean_kinship_without_self(self) -> np.ndarray:
        """Mean kinship of each entry with the other fish of the group, (n,); not a number for a group of one."""
        total = self.living.total
        if total <= 1:
            return np.full(len(self.mean_kinship), np.nan)
        return (total * self.mean_kinship - self.alone) / (total - 1)

    @property
    def coancestry_without_self(self) -> float | None:
        """Mean kinship over pairs of distinct fish; None for a group of one."""
        total = self.living.total
        if total <= 1:
            return None
        return float((total**2 * self.coancestry - self.living.counts @ self.alone) / (total * (total - 1)))


def breeder_weights(pedigree: Pedigree, living: Living) -> tuple[np.ndarray, np.ndarray]:
    """Hand the weight of living fish that never bred to their parents.

    Returns
    -------
    breeders : (rows,) float
        Weights c, a living breeder's own included; a living fish that bred hands nothing on.
    families : (families,) float
        Weight of the living that never bred, by family.
    """
    breeders = pedigree.breeders
    rows = breeders.row_of[living.fish]
    share = living.counts / living.total
    bred = rows < breeders.rows
    families = np.bincount(
        pedigree.family[living.fish[~bred]], weights=share[~bred], minlength=breeders.weights.shape[0]
    )
    own = np.bincount(rows[bred], weights=share[bred], minlength=breeders.rows)
    return own + breeders.weights.T @ families, families[: len(pedigree.families)]


def group_kinship(pedigree: Pedigree, living: LivingFish = None) -> GroupKinship:
    """Kinship within a living group, without a table of all its pairs.

    Raises
    ------
    UnknownFishError, PedigreeError
        As for :func:`living_group`.

    Examples
    --------
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> pedigree = build_pedigree([ParentRow("batch 7", "Ada", "Bo")])
    >>> group_kinship(pedigree, {"batch 7": 1000}).coancestry
    0.25025
    """
    group = living_group(pedigree, living)
    breeders, kinship = pedigree.breeders, breeder_kinship(pedigree)
    weights, families = breeder_weights(pedigree, group)
    with_group = kinship.times(weights)
    alone, own = kinship.line_alone[: len(families)], kinship.line_residual[: len(families)]
    total = group.total
    of_family = (breeders.weights @ with_group)[: len(families)] + own / total
    family, rows = pedigree.family[group.fish], breeders.row_of[group.fish]
    bred = np.flatnonzero(rows < breeders.rows)
    mean, self_kinship = of_family[family], alone[family]
    mean[bred] = with_group[rows[bred]]
    self_kinship[bred] = kinship.alone[rows[bred]]
    coancestry = float(weights @ with_group + families @ own / total)
    return GroupKinship(group, mean, self_kinship, coancestry, weights, with_group)


def mean_kinship(pedigree: Pedigree, living: LivingFish = None, *, include_self: bool = True) -> np.ndarray:
    """Mean kinship of each living fish with the living group.

    Returns
    -------
    (n,) float
        In the order of ``living``; self included unless asked otherwise. With n fish the two differ by about 1/(2n).

    References
    ----------
    Ballou and Lacy 1995, Identifying genetically important individuals for management of genetic variation in pedigreed
    populations.
    """
    group = group_kinship(pedigree, living)
    return group.mean_kinship if include_self else group.mean_kinship_without_self


def group_coancestry(pedigree: Pedigree, living: LivingFish = None) -> float:
    """Mean kinship θ over all ordered pairs of the living, self included."""
    return group_kinship(pedigree, living).coancestry


def gene_diversity(pedigree: Pedigree, living: LivingFish = None) -> float:
    """Share of the founders' expected heterozygosity that the living keep, 1 - θ."""
    return 1 - group_coancestry(pedigree, living)


def founder_genome_equivalents(pedigree: Pedigree, group: GroupKinship) -> float | None:
    """Founders, all different, that would hold as much diversity as the group: 1/(v θ).

    None where gene copies v differ between the living, since kinships of different ploidy cannot be averaged into one
    number of founders.
    """
    ploidy = np.unique(pedigree.ploidy[group.living.fish])
    return 1 / (float(ploidy[0]) * group.coancestry) if len(ploidy) == 1 else None


class Addition(NamedTuple):
    """What a batch of young does to a group it joins; the means include self."""

    coancestry: float
    mean_kinship_of_young: float


def with_young(pedigree: Pedigree, group: GroupKinship, parents: tuple[Hashable, Hashable], count: float) -> Addition:
    """Group coancestry after a batch of young has joined, without computing the group anew.

    Parameters
    ----------
    group
        Kinship within the group before.
    parents
        Dam and sire; each gives half of its gene copies, with the double reduction of its own parents' gametes.
    count
        How many young join.

    Examples
    --------
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> pedigree = build_pedigree([ParentRow("Ada"), ParentRow("Bo")])
    >>> with_young(pedigree, group_kinship(pedigree), ("Ada", "Bo"), 2).coancestry
    0.28125
    """
    at = pedigree.positions(parents)
    copies = pedigree.ploidy[at] // 2
    shares = copies / copies.sum()
    between = kinship_of_positions(pedigree, at)
    reduction = pedigree.families.double_reduction[pedigree.family[at], [0, 1]]
    terms = fish_terms(copies[None], reduction[None], pedigree.ploidy[at][None], np.ones((1, 2), dtype=bool))
    alone = terms.constant + terms.dam * between[0, 0] + terms.sire * between[1, 1] + terms.pair * between[0, 1]
    sibs = shares @ between @ shares
    before = group.living.total
    with_before = before * (shares @ kinship_with_group(pedigree, group, at))
    total = before + count
    with_young = with_before + (count - 1) * sibs + float(alone[0])
    all_pairs = before**2 * group.coancestry + count * (with_before + with_young)
    return Addition(float(all_pairs / total**2), float(with_young / total))


def kinship_with_group(pedigree: Pedigree, group: GroupKinship, fish: np.ndarray) -> np.ndarray:
    """Mean kinship of fish with a group, (n,), themselves included where they are in it."""
    mean: np.ndarray = genes_of(pedigree, fish) @ group.breeder_kinship
    for place, one in enumerate(fish.tolist()):
        entry = np.flatnonzero(group.living.fish == one)
        if len(entry):
            mean[place] = group.mean_kinship[entry[0]]
    return mean
