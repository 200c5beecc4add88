"""What could stand in the place of a cross, and what a pair could take the place of: one exchange, all else staying."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breeding.planning.advice.beside import figures_of_any
from breeding.planning.advice.held import broken_by
from breeding.planning.objective import objective_of
from breeding.planning.problem import Problem
from breeding.planning.search.draft import new_draft

Pair = tuple[int, int]


@dataclass(frozen=True)
class Exchange:
    """One cross for another, and by how much J is then higher; below 0 where the plan gets better."""

    lost: Pair
    added: Pair
    worse: float


def instead_of(problem: Problem, pairs: Sequence[Pair], pair: Pair, most: int) -> list[Exchange]:
    """The pairs that limits on pairs and on uses allow in the place of a cross, the best first; ties by kinship.

    For a cross that is neither made nor locked; the number of fish used and a scheme are left aside.
    """
    fixed = set(problem.fixed)
    kept = [one for one in pairs if one not in fixed and one != pair]
    draft = new_draft(problem, objective_of(problem), kept)
    dams, sires = draft.fish_costs()
    costs = draft.cost + dams[:, None] + sires
    costs[pair] = np.inf
    possible = np.argwhere(np.isfinite(costs))
    order = np.lexsort((*possible.T[::-1], problem.between[tuple(possible.T)], np.round(costs[tuple(possible.T)], 14)))
    now = figures_of_any(problem, list(pairs)).objective
    found = []
    for dam, sire in possible[order[:most]].tolist():
        changed = [*(one for one in pairs if one != pair), (dam, sire)]
        found.append(Exchange(pair, (dam, sire), figures_of_any(problem, changed).objective - now))
    return sorted(found, key=lambda one: (one.worse, problem.between[one.added], one.added))


def in_place_of(problem: Problem, pairs: Sequence[Pair], pair: Pair) -> list[Exchange]:
    """The crosses of a plan in whose place a pair may stand without breaking a limit anew, the best first."""
    now, before = figures_of_any(problem, list(pairs)).objective, set(broken_by(problem, pairs))
    found = []
    for lost in sorted(set(pairs) - set(problem.fixed)):
        changed = [*(one for one in pairs if one != lost), pair]
        if set(broken_by(problem, changed)) <= before:
            found.append(Exchange(lost, pair, figures_of_any(problem, changed).objective - now))
    return sorted(found, key=lambda one: (one.worse, one.lost))
