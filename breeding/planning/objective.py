"""What a plan is worth: the group coancestry of its young, beside the living stock, and a price on their inbreeding.

    J = (1−A)² θ_living + 2A(1−A) cᵀk_living + A² cᵀKc + G · mean kinship of the pairs,   c = uses / (2N)

cᵀKc is the mean kinship of the young over all pairs, self included, for large families of one size (Fernández and Toro
1999; Caballero and Toro 2000). Only the uses enter the quadratic part; which fish meet enters by the price alone.
Where families of fixed pairs are planned larger or smaller than the others, their uses count by that size, and 2N is
twice the sum of the sizes: then too only the uses that are free are looked for.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breeding.planning.problem import Floats, Problem, uses_of

# Objectives that differ by less are the same number, rounded otherwise.
TIE = 1e-12


@dataclass(frozen=True)
class Figures:
    """A plan in numbers, computed from whole uses. `objective` is J, `group_coancestry` cᵀKc."""

    objective: float
    group_coancestry: float
    mean_pair_kinship: float


@dataclass(frozen=True, eq=False)
class Objective:
    """J as constant + linearᵀx + xᵀ quadratic x + Σ pair over the chosen pairs; x = uses by the pairs still free.

    Attributes
    ----------
    linear : (fish,)
    quadratic : (fish, fish), positive semidefinite.
    pair : (dams, sires)
    """

    constant: float
    linear: Floats
    quadratic: Floats
    pair: Floats


def objective_of(problem: Problem) -> Objective:
    """J in the uses that are still free; what is fixed goes into the constant and the linear part."""
    share = 1.0 if problem.living is None else problem.living.weight_of_young
    total = problem.total
    quadratic = problem.kinship * (share**2 / (4 * total**2))
    linear, constant = np.zeros(len(problem.fish)), 0.0
    if problem.living is not None:
        linear = problem.living.mean_kinship * (share * (1 - share) / total)
        constant = (1 - share) ** 2 * problem.living.coancestry
    pair = problem.between * (problem.price / total)
    fixed = _young_of(problem, problem.fixed)
    constant += float(linear @ fixed + fixed @ quadratic @ fixed)
    constant += sum(float(pair[one]) * problem.planned.get(one, 1.0) for one in problem.fixed)
    return Objective(constant, linear + 2 * quadratic @ fixed, quadratic, pair)


def figures_of(problem: Problem, pairs: Sequence[tuple[int, int]]) -> Figures:
    """The figures of a plan, afresh from whole numbers.

    Parameters
    ----------
    pairs
        Positions (dam, sire) of all crosses of the plan, the fixed ones included.
    """
    crosses = problem.crosses
    if len(pairs) != crosses:
        raise ValueError(f"The plan has {len(pairs)} crosses where {crosses} are wanted.")
    uses, total = _young_of(problem, pairs), problem.total
    coancestry = _group_coancestry(problem.kinship, uses, total)
    kinship = float(np.sum([problem.between[pair] * problem.planned.get(pair, 1.0) for pair in sorted(pairs)])) / total
    value = coancestry
    if problem.living is not None:
        share, living = problem.living.weight_of_young, problem.living
        with_living = float(uses @ living.mean_kinship) / (2 * total)
        value = (1 - share) ** 2 * living.coancestry + 2 * share * (1 - share) * with_living + share**2 * coancestry
    return Figures(value + problem.price * kinship, coancestry, kinship)


def _young_of(problem: Problem, pairs: Sequence[tuple[int, int]]) -> Floats:
    """The uses of each fish in pairs, by the size of their families, (fish,)."""
    uses = uses_of(problem, pairs).astype(np.float64)
    for (dam, sire), size in problem.planned.items():
        if (dam, sire) in pairs:
            uses[[dam, len(problem.dams) + sire]] += size - 1
    return uses


def _group_coancestry(kinship: Floats, uses: Floats, total: float) -> float:
    used = np.flatnonzero(uses)
    return float(uses[used] @ kinship[np.ix_(used, used)] @ uses[used]) / (4 * total**2)


def is_better(a: Figures, b: Figures) -> bool:
    """Whether one plan is better than another: by J, at equal J by the kinship of its pairs."""
    if abs(a.objective - b.objective) > TIE:
        return a.objective < b.objective
    return a.mean_pair_kinship < b.mean_pair_kinship - TIE
