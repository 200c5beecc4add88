"""Candidates that the problem cannot tell apart, such as full sibs that never bred."""

from collections.abc import Hashable

import numpy as np

from breeding.planning.feasible import has_pairs
from breeding.planning.objective import Objective
from breeding.planning.problem import Problem, Whole

TRIES = 60


def groups_alike(problem: Problem, objective: Objective, *, whatever_pairs: bool = False) -> list[list[int]]:
    """Groups of two or more fish of one sex that may stand for each other in any plan, by position, in order of ids.

    Parameters
    ----------
    whatever_pairs
        Fish may be alike though they are allowed different mates: then they may stand for each other in the uses, but
        not always in the pairs. Only where pairs have no price.
    """
    looks: dict[tuple[Hashable, ...], list[list[int]]] = {}
    sorted_rows = np.sort(objective.quadratic, axis=1)
    for fish in range(len(problem.fish)):
        arrays = (problem.room, problem.needed, objective.linear, problem.fresh)
        look = (fish < len(problem.dams), *(array[fish].item() for array in arrays), sorted_rows[fish].tobytes())
        groups = looks.setdefault(look, [])
        for group in groups:
            two = group[0], fish
            if _alike(objective, two) and (whatever_pairs or _same_mates(problem, objective, two)):
                group.append(fish)
                break
        else:
            groups.append([fish])
    found = [group for groups in looks.values() for group in groups if len(group) > 1]
    return sorted(found)


def arranged(problem: Problem, groups: list[list[int]], uses: Whole) -> Whole | None:
    """The same uses, handed round within the groups until some allowed pairs have them; None if that was not found."""
    random = np.random.default_rng(1)
    trial = uses
    for _ in range(TRIES if groups else 1):
        if has_pairs(problem, trial):
            return trial
        trial = uses.copy()
        for group in groups:
            trial[group] = uses[random.permutation(group)]
    return None


def _changed_places(fish: int, two: tuple[int, int]) -> Whole:
    order = np.arange(fish)
    order[list(two)] = two[::-1]
    return order


def _alike(objective: Objective, two: tuple[int, int]) -> bool:
    """Whether coancestry stays the same when two fish change places."""
    one, other = two
    order = _changed_places(len(objective.linear), two)
    return np.array_equal(objective.quadratic[one], objective.quadratic[other][order])


def _same_mates(problem: Problem, objective: Objective, two: tuple[int, int]) -> bool:
    """Whether the pairs, too, stay as they are."""
    order, dams = _changed_places(len(problem.fish), two), len(problem.dams)
    grid = np.ix_(order[:dams], order[dams:] - dams)
    return all(np.array_equal(array, array[grid]) for array in (problem.allowed, objective.pair))
