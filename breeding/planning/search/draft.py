"""A plan in the making: chosen pairs, and what one more or one less would cost."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breeding.planning.objective import Objective
from breeding.planning.problem import Floats, Problem, Truths, Whole

Pair = tuple[int, int]

# Below any true difference in cost of one pair, above the rounding of its sum.
MOVE_TIE = 1e-14


@dataclass(slots=True, eq=False)
class Draft:
    """Pairs chosen so far; changed in place.

    Attributes
    ----------
    uses : (fish,), of the chosen pairs; the fixed ones are in the objective already.
    gradient : (fish,), of the objective at these uses.
    cost : (dams, sires), what a pair adds beside the costs of its two fish; infinite where it may not be chosen.
    """

    problem: Problem
    objective: Objective
    pairs: list[Pair]
    uses: Whole
    gradient: Floats
    cost: Floats

    def put(self, dam: int, sire: int) -> None:
        """Choose a pair."""
        self.pairs.append((dam, sire))
        self._change(dam, sire, 1)
        self.cost[dam, sire] = np.inf

    def take(self, dam: int, sire: int) -> None:
        """Give a chosen pair up."""
        self.pairs.remove((dam, sire))
        self._change(dam, sire, -1)
        self.cost[dam, sire] = self._cost_of(dam, sire)

    def _change(self, dam: int, sire: int, step: int) -> None:
        other = len(self.problem.dams) + sire
        self.uses[dam] += step
        self.uses[other] += step
        quadratic = self.objective.quadratic
        self.gradient += (2 * step) * (quadratic[dam] + quadratic[other])

    def _cost_of(self, dam: int, sire: int) -> float:
        other = len(self.problem.dams) + sire
        return float(2 * self.objective.quadratic[dam, other] + self.objective.pair[dam, sire])

    def fish_costs(self) -> tuple[Floats, Floats]:
        """What one more use of each dam and each sire costs; infinite for those used up."""
        costs = self.gradient + np.diagonal(self.objective.quadratic)
        costs = np.where(self.uses < self.problem.room, costs, np.inf)
        dams = len(self.problem.dams)
        return costs[:dams], costs[dams:]

    def copy(self) -> "Draft":
        """A draft of its own, its gradient free of what rounding has gathered."""
        return Draft(
            self.problem,
            self.objective,
            list(self.pairs),
            self.uses.copy(),
            self.objective.linear + 2 * self.objective.quadratic @ self.uses,
            self.cost.copy(),
        )


def new_draft(problem: Problem, objective: Objective, pairs: Sequence[Pair] = ()) -> Draft:
    """A draft of some pairs, the fixed ones left out."""
    dams = len(problem.dams)
    cost = 2 * objective.quadratic[:dams, dams:] + objective.pair
    cost = np.where(problem.allowed, cost, np.inf)
    uses = np.zeros(len(problem.fish), dtype=np.int64)
    draft = Draft(problem, objective, [], uses, objective.linear.copy(), cost)
    for pair in pairs:
        draft.put(*pair)
    return draft


def cheapest_pair(draft: Draft, among: Truths | None = None) -> tuple[float, Pair] | None:
    """The allowed pair that adds least; at equal cost the less related, then the first. None if there is no room.

    Parameters
    ----------
    among : (dams, sires), the only pairs to look at.
    """
    dams, sires = draft.fish_costs()
    costs = draft.cost + dams[:, None]
    costs += sires
    if among is not None:
        costs[~among] = np.inf
    best = float(costs.min())
    if not np.isfinite(best):
        return None
    tied = np.flatnonzero(costs.ravel() <= best + MOVE_TIE)
    kinship = draft.problem.between.ravel()[tied]
    at = int(tied[np.flatnonzero(kinship <= kinship.min() + MOVE_TIE)[0]])
    pair = divmod(at, costs.shape[1])
    return best, pair
