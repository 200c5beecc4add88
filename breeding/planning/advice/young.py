"""The young of a plan: their expected inbreeding, and what families of planned sizes do to their coancestry.

Plans are searched for families of one size, each of them large. Given sizes are told here, afterwards: contributions c
are then by size, and a young fish is closer to itself than to its sibs, which adds Σ w² apart / size.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breeding.genetics.pedigree import Pedigree
from breeding.genetics.polysomic import fish_terms, inbreeding_of
from breeding.planning.problem import Floats, Problem, Whole

Pair = tuple[int, int]


@dataclass(frozen=True, eq=False)
class Young:
    """What is expected of the young of each pair of a plan.

    Attributes
    ----------
    inbreeding : (pairs,), F at the ploidy of the young.
    apart : (pairs,), kinship of a young fish with itself less its kinship with a full sib.
    """

    inbreeding: Floats
    apart: Floats


@dataclass(frozen=True)
class Sized:
    """A plan with so many young of each family.

    Attributes
    ----------
    young : in all.
    group_coancestry : cᵀKc with c by family size, for large families.
    coancestry_of_young : θ of just these young, each of them counted with itself.
    mean_inbreeding : expected F over the young.
    """

    young: int
    group_coancestry: float
    coancestry_of_young: float
    mean_inbreeding: float


def young_of(problem: Problem, pairs: Sequence[Pair], pedigree: Pedigree, at: Whole) -> Young:
    """The young of each pair at their own ploidy.

    Parameters
    ----------
    at : (fish,), where the candidates stand in the pedigree.
    """
    parents = np.array(pairs, dtype=int).reshape(-1, 2) + np.array([0, len(problem.dams)])
    of_parents = at[parents]
    ploidy = pedigree.ploidy[of_parents]
    reduction = pedigree.families.double_reduction[pedigree.family[of_parents], [0, 1]]
    terms = fish_terms(ploidy // 2, reduction, ploidy, np.ones(of_parents.shape, dtype=bool))
    own, (dams, sires) = np.diagonal(problem.kinship), parents.T
    between = problem.kinship[dams, sires]
    alone = terms.constant + terms.dam * own[dams] + terms.sire * own[sires] + terms.pair * between
    from_dam, from_sire = (ploidy / ploidy.sum(axis=1)[:, None]).T
    sibs = from_dam**2 * own[dams] + from_sire**2 * own[sires] + 2 * from_dam * from_sire * between
    return Young(inbreeding_of(alone, ploidy.sum(axis=1) // 2), alone - sibs)


def sized(problem: Problem, pairs: Sequence[Pair], young: Young, sizes: Sequence[int]) -> Sized:
    """The figures of a plan with so many young of each pair, in the order of the pairs.

    Raises
    ------
    ValueError
        A size below 0, another number of sizes than of pairs, or no young at all.
    """
    if len(sizes) != len(pairs) or min(sizes, default=0) < 0 or not sum(sizes):
        raise ValueError(f"{len(sizes)} family sizes for {len(pairs)} crosses; give each 0 or more, and one at least.")
    total = sum(sizes)
    shares = np.array(sizes) / total
    c = np.zeros(len(problem.fish))
    parents = np.array(pairs) + np.array([0, len(problem.dams)])
    for side in (0, 1):
        np.add.at(c, parents[:, side], shares / 2)
    large = float(c @ problem.kinship @ c)
    return Sized(total, large, large + float(shares @ young.apart) / total, float(shares @ young.inbreeding))
