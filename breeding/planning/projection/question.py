"""What is projected, and the words for it."""

from collections.abc import Hashable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from breeding.genetics.pedigree import Pedigree

PLAN, EQUAL, RANDOM, HABIT = "plan", "equal", "random", "habit"

Pair = tuple[Hashable, Hashable]
Whole = npt.NDArray[np.int64]
Genes = npt.NDArray[np.int32]  # (fish, gene copies, loci), each the number of a founder gene copy


@dataclass(frozen=True, eq=False)
class Question:
    """What is projected.

    Attributes
    ----------
    pedigree : of the parents and all their ancestors.
    dams, sires : names of the parents that may be used first, all of one ploidy.
    plan : pairs of the first generation under the plan; none leaves the plan out.
    habit : (dam, sire) for every cross of the past seasons that tells the habit; none leaves it out.
    families, kept : families made, and young kept as the next parents, in each generation.
    double_reduction : of the gametes of coming generations; the pedigree has its own.
    """

    pedigree: Pedigree
    dams: tuple[Hashable, ...]
    sires: tuple[Hashable, ...]
    plan: tuple[Pair, ...] = ()
    habit: tuple[Pair, ...] = ()
    generations: int = 5
    families: int = 10
    kept: int = 60
    replicates: int = 100
    loci: int = 100
    seed: int = 1
    double_reduction: float = 0.0


class Parents(NamedTuple):
    """Positions of the females and males of a generation among its genes."""

    females: Whole
    males: Whole
