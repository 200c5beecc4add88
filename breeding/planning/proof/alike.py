"""Candidates that the problem cannot tell apart, such as full sibs that never bred."""

import numpy as np

from breeding.planning.objective import Objective
from breeding.planning.problem import Problem


def groups_alike(problem: Problem, objective: Objective) -> list[list[int]]:
    """Groups of two or more fish of one sex that may stand for each other in any plan, by position, in order of ids."""
    dams = len(problem.dams)
    groups: list[list[int]] = []
    for fish in range(len(problem.fish)):
        for group in groups:
            if (group[0] < dams) == (fish < dams) and _alike(problem, objective, (group[0], fish)):
                group.append(fish)
                break
        else:
            groups.append([fish])
    return [group for group in groups if len(group) > 1]


def _alike(problem: Problem, objective: Objective, two: tuple[int, int]) -> bool:
    """Whether nothing changes when two fish change places."""
    one, other = two
    order, dams = np.arange(len(problem.fish)), len(problem.dams)
    order[[one, other]] = other, one
    same = all(array[one] == array[other] for array in (problem.room, problem.needed, objective.linear))
    if not same or not np.array_equal(objective.quadratic[one], objective.quadratic[other][order]):
        return False
    grid = np.ix_(order[:dams], order[dams:] - dams)
    return all(np.array_equal(array, array[grid]) for array in (problem.allowed, objective.pair))
