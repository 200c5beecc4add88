"""The diagonal that may be taken out of the kinship: as much as possible where the relaxed uses are broken.

Greatest Σ w Δ with K − Δ positive semidefinite, by a log-determinant barrier and Newton's method; w is the variance of
the relaxed uses, which is what Δ gains. Whatever the method gives is checked by a factorisation, and shrunk if need be:
the bound is only as true as that check.
"""

import numpy as np

from breeding.planning.objective import Objective
from breeding.planning.problem import Floats, Problem, Whole
from breeding.planning.proof.relaxed import Split

BARRIERS = (0.3, 0.1, 0.03, 0.01, 0.003, 0.001)
STEPS = 2  # of Newton's method for each
# Variance of uses, as a share of the largest, below which a fish is not worth a diagonal.
BROKEN = 3e-3
# Of the largest self-kinship: what rounding may hide from the factorisation.
MARGIN = 1e-12
# Of the mean self-kinship: sibs that differ by less are one animal twice.
CLONES = 1e-9
ONE_BY_ONE = 150  # fish; more are taken by groups of the same kinship


def first_split(problem: Problem, objective: Objective) -> Split:
    """A diagonal of one value for every fish, to begin with."""
    return checked(problem, objective, np.diagonal(objective.quadratic).copy())


def better_split(split: Split, spread: Floats) -> Split:
    """The diagonal that gains most where uses are broken; `spread` (fish,) is the variance of the relaxed uses.

    Where there are many fish, those of the same kinship, such as full sibs, get the same diagonal: a little less for a
    tenth of the work.
    """
    fish = len(spread)
    sibs = groups_of_same(split.objective.quadratic) if fish > ONE_BY_ONE else np.arange(fish)
    in_group = np.bincount(sibs)
    gain = np.bincount(sibs, weights=spread)
    quadratic = split.objective.quadratic
    scale = float(np.diagonal(quadratic).mean())
    matrix, apart = _between_groups(quadratic / scale, sibs)
    # Clones have nothing of their own.
    worth = (gain / in_group > max(BROKEN * float(spread.max()), 1e-6)) & (apart > CLONES)
    broken = np.flatnonzero(worth)
    if not len(broken):
        return split
    core = _given_others(matrix, broken)
    # What sets sibs apart is theirs alone, and can be split off no more than once.
    most = np.where(in_group > 1, apart / in_group, np.inf)[broken]
    weights = (gain * in_group)[broken]
    found = None if core is None else _barrier(core, weights / weights.max(), most)
    if found is None:
        return split
    of_groups = np.zeros(len(in_group))
    of_groups[broken] = found * in_group[broken] * scale
    return checked(split.problem, split.objective, of_groups[sibs])


def _between_groups(matrix: Floats, sibs: Whole) -> tuple[Floats, Floats]:
    """The mean of each group with each, its own fish with themselves included; and self less sib, by group."""
    in_group = np.bincount(sibs)
    members = np.zeros((len(in_group), len(sibs)))
    members[sibs, np.arange(len(sibs))] = 1 / in_group[sibs]
    mean: Floats = members @ matrix @ members.T
    own = np.diagonal(matrix)[np.unique(sibs, return_index=True)[1]]
    apart = np.where(in_group > 1, (own - np.diagonal(mean)) / np.maximum(1 - 1 / in_group, 0.5), own)
    return (mean + mean.T) / 2, apart


def checked(problem: Problem, objective: Objective, diagonal: Floats) -> Split:
    """A split that is proven: the diagonal is shrunk until what is left of the quadratic part can be factorised."""
    quadratic = objective.quadratic
    margin = MARGIN * float(np.diagonal(quadratic).max())
    for shrunk in (1.0, 1 - 1e-9, 1 - 1e-6, 1 - 1e-4, 0.99, 0.95, 0.9, 0.8, 0.65, 0.5, 0.35, 0.2, 0.1, 0.05, 0.02):
        if _is_definite(quadratic - np.diag(shrunk * diagonal + margin)):
            return _split(problem, objective, shrunk * diagonal)
    # Fish without any variation of their own: the least eigenvalue says how much has to be lent to them.
    lent = float(np.linalg.eigvalsh(quadratic)[0]) - 2 * margin
    diagonal = np.full(len(quadratic), min(lent, -2 * margin))
    return _split(problem, objective, diagonal)


def _split(problem: Problem, objective: Objective, diagonal: Floats) -> Split:
    return Split(problem, objective, diagonal, objective.quadratic - np.diag(diagonal), problem.needed, problem.room)


def _is_definite(matrix: Floats) -> bool:
    try:
        np.linalg.cholesky(matrix)
    except np.linalg.LinAlgError:
        return False
    return True


def _given_others(matrix: Floats, some: np.ndarray) -> Floats | None:
    """The Schur complement of the other fish: what of the matrix is left for some fish alone."""
    others = np.setdiff1d(np.arange(len(matrix)), some)
    if not len(others):
        return matrix[np.ix_(some, some)]
    try:
        solved = np.linalg.solve(matrix[np.ix_(others, others)], matrix[np.ix_(others, some)])
    except np.linalg.LinAlgError:
        return None
    rest: Floats = matrix[np.ix_(some, some)] - matrix[np.ix_(some, others)] @ solved
    return (rest + rest.T) / 2


def _barrier(matrix: Floats, weights: Floats, most: Floats) -> Floats | None:
    """Δ of greatest Σ w Δ + barrier · (log det(K − Δ) + Σ log Δ + Σ log(most − Δ)), for barriers that fall."""
    lowest = float(np.linalg.eigvalsh(matrix)[0])
    if lowest <= 1e-9:
        return None
    diagonal = np.minimum(lowest, most) / 2
    for barrier in np.repeat(BARRIERS, STEPS):
        step = _newton(matrix, diagonal, weights / barrier, most)
        diagonal = _as_far_as_it_goes(matrix, diagonal, step, most)
    return diagonal


def _newton(matrix: Floats, diagonal: Floats, weights: Floats, most: Floats) -> Floats:
    inverse = np.linalg.inv(matrix - np.diag(diagonal))
    slope = weights - np.diagonal(inverse) + 1 / diagonal - 1 / (most - diagonal)
    bend = inverse * inverse + np.diag(1 / diagonal**2 + 1 / (most - diagonal) ** 2)
    step: Floats = np.linalg.solve(bend, slope)
    return step


def _as_far_as_it_goes(matrix: Floats, diagonal: Floats, step: Floats, most: Floats) -> Floats:
    """The whole step, or as much of it as stays well inside."""
    for length in (1.0, 0.7, 0.5, 0.3, 0.15, 0.07, 0.03, 0.01):
        trial = diagonal + length * step
        if trial.min() > 0 and (trial < most).all() and _is_definite(matrix - np.diag(trial)):
            return trial
    return diagonal


def groups_of_same(matrix: Floats) -> Whole:
    """Number the groups of fish that may change places in a matrix, such as full sibs that never bred."""
    alike: dict[bytes, list[int]] = {}
    groups: list[int] = []
    own, row = np.diagonal(matrix), np.sort(matrix, axis=1)
    for fish in range(len(matrix)):
        candidates = alike.setdefault(own[fish].tobytes() + row[fish].tobytes(), [])
        found = next((first for first in candidates if _may_change_places(matrix, first, fish)), None)
        if found is None:
            candidates.append(fish)
        groups.append(max(groups, default=-1) + 1 if found is None else groups[found])
    return np.array(groups, dtype=np.int64)


def _may_change_places(matrix: Floats, one: int, other: int) -> bool:
    order = np.arange(len(matrix))
    order[[one, other]] = other, one
    return bool(np.array_equal(matrix[one], matrix[other][order]))
