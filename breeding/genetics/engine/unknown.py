"""What unknown parents may hide: the same pedigree with other suppositions about them than "unrelated founders"."""

from collections.abc import Sequence

import numpy as np

from breeding.genetics.engine.families import Families
from breeding.genetics.pedigree import Pedigree

UNDATED = -1


def open_pairs(pedigree: Pedigree) -> np.ndarray:
    """Which parents of possible pairs are unknown, (pairs, 2) bool, dam first; founders and wild clutches left out."""
    families = pedigree.families
    unknown = np.column_stack([families.dam, families.sire]) == len(pedigree)
    with_known = np.zeros(len(families), dtype=bool)
    with_known[families.owner()[~unknown.all(axis=1)]] = True
    found: np.ndarray = unknown & with_known[families.owner()][:, None]
    return found


def with_one_pair(pedigree: Pedigree) -> Pedigree:
    """The pedigree if all unknown dams were one founder, and all unknown sires another."""
    families, fish = pedigree.families, len(pedigree)
    parents = np.column_stack([families.dam, families.sire])
    parents[parents == fish] = fish + 2
    unknown = open_pairs(pedigree)
    copies = families.copies[families.owner()]
    for side in (0, 1):
        parents[unknown[:, side], side] = fish + side
    ploidy = [int(2 * copies[unknown[:, side], side].max(initial=1)) for side in (0, 1)]
    more = np.array([[each // 2, each // 2] for each in ploidy])
    reduction = np.array([_greatest(families.double_reduction[families.owner()], unknown, side) for side in (0, 1)])
    return Pedigree(
        ids=[*pedigree.ids, ("every unknown", "dam"), ("every unknown", "sire")],
        family=np.concatenate([pedigree.family, len(families) + np.arange(2)]),
        families=Families(
            first=np.concatenate([families.first, families.first[-1] + np.array([1, 2])]),
            dam=np.concatenate([parents[:, 0], [fish + 2] * 2]),
            sire=np.concatenate([parents[:, 1], [fish + 2] * 2]),
            probability=np.concatenate([families.probability, [1.0, 1.0]]),
            copies=np.concatenate([families.copies, more]),
            double_reduction=np.concatenate([families.double_reduction, np.column_stack([reduction, reduction])]),
            shared=np.concatenate([families.shared, [False, False]]),
        ),
        own_rows=pedigree.own_rows,
        founder_kinship=pedigree.founder_kinship,
    )


def _greatest(double_reduction: np.ndarray, unknown: np.ndarray, side: int) -> float:
    return float(double_reduction[unknown[:, side], side].max(initial=0.0))


def with_parents_of_cohort(pedigree: Pedigree, born: Sequence[int], rank: np.ndarray | None = None) -> Pedigree:
    """The pedigree if each unknown parent were any of those known on its side for young of the same year, alike likely.

    Its kinship with others is then theirs on average, in place of none (VanRaden 1992, Accounting for inbreeding and
    crossbreeding in genetic evaluation of large populations, J. Dairy Sci. 75: 3136-3144, from memory).

    Parameters
    ----------
    born : (families,) int
        Year in which the young of each family hatched, UNDATED where it is not known. There, and in years without a
        known parent of that sex, unknown parents stay unrelated founders.
    rank : (fish,) float, optional
        Only the known parent that ranks highest stands for the unknown ones.
    """
    families, years = pedigree.families, np.asarray(born)
    owner, unknown = families.owner(), open_pairs(pedigree)
    sides = families.dam, families.sire
    known = [_by_year(years[owner], side, side < len(pedigree)) for side in sides]
    if rank is not None:
        known = [{year: [max(fish, key=lambda one: rank[one])] for year, fish in of.items()} for of in known]
    first, told = [0], []
    for family in range(len(families)):
        for pair in range(families.first[family], families.first[family + 1]):
            choices = []
            for side in (0, 1):
                parent = int(sides[side][pair])
                mates = known[side].get(int(years[family])) if unknown[pair, side] else None
                choices.append(mates or [parent])
            share = families.probability[pair] / (len(choices[0]) * len(choices[1]))
            told += [(dam, sire, share) for dam in choices[0] for sire in choices[1]]
        first.append(len(told))
    dams, sires, shares = np.array(told).reshape(-1, 3).T
    changed = Families(
        first=np.array(first),
        dam=dams.astype(int),
        sire=sires.astype(int),
        probability=shares,
        copies=families.copies,
        double_reduction=families.double_reduction,
        shared=families.shared,
    )
    return Pedigree(pedigree.ids, pedigree.family, changed, pedigree.own_rows, pedigree.founder_kinship)


def _by_year(years: np.ndarray, parents: np.ndarray, known: np.ndarray) -> dict[int, list[int]]:
    return {
        int(year): np.unique(parents[known & (years == year)]).tolist()
        for year in np.unique(years[known & (years != UNDATED)])
    }
