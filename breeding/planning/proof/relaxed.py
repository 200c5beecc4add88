"""The relaxed problem that gives the bound: uses by sorting unit costs, the rest of the objective by its tangent.

With K = (K − Δ) + Δ, K − Δ positive semidefinite and Δ diagonal, the first part lies above each of its tangents, and
Δ_i x_i² is kept as it is on whole numbers: the k-th use of a fish costs (2k − 1) Δ_i.
"""

from dataclasses import dataclass

import numpy as np

from breeding.planning.objective import Objective
from breeding.planning.problem import Floats, Problem, Whole


@dataclass(frozen=True, eq=False)
class Split:
    """The objective with a diagonal set apart.

    Attributes
    ----------
    diagonal : (fish,), Δ in the units of `objective.quadratic`.
    rest : (fish, fish), quadratic − Δ, positive semidefinite.
    least, most : (fish,), between which the uses of each fish are looked at.
    """

    problem: Problem
    objective: Objective
    diagonal: Floats
    rest: Floats
    least: Whole
    most: Whole

    def slope(self, point: Floats) -> Floats:
        """Cost of each use by the tangent at a point, Δ left out, (fish,)."""
        return self.objective.linear + 2 * self.rest @ point

    def offset(self, point: Floats) -> float:
        """What the tangent at a point adds whatever the uses are."""
        return self.objective.constant - float(point @ self.rest @ point)

    def own(self, uses: Whole) -> float:
        """Σ Δ x² of whole uses; not above it where Δ < 0."""
        return float(np.sum(np.where(self.diagonal >= 0, uses, self.most) * self.diagonal * uses))


@dataclass(frozen=True, eq=False)
class Corner:
    """Whole uses, (fish,), with their costs: of the pairs alone, and with all that is not the tangent."""

    uses: Whole
    pair_cost: float


def unit_costs(split: Split, slope: Floats, fish: slice) -> Floats:
    """Cost of the first, second … use of each fish, (fish of the slice, uses); infinite beyond the most."""
    most, diagonal = split.most[fish], split.diagonal[fish]
    count = np.arange(1, max(int(most.max()), 1) + 1)
    # A negative Δ bends the other way: its chord over all possible uses lies below it.
    own = np.where(diagonal[:, None] >= 0, diagonal[:, None] * (2 * count - 1), (diagonal * most)[:, None])
    costs: Floats = np.where(count <= most[:, None], slope[fish, None] + own, np.inf)
    return costs


def sorted_fill(split: Split, slope: Floats) -> tuple[float, Whole]:
    """The least cost of uses within their limits, dams and sires each adding up to the crosses; pairs left aside.

    Exact, since the costs of further uses of a fish never fall. Infinite if the limits leave no room.
    """
    dams = len(split.problem.dams)
    one, first = _fill(split, slope, slice(0, dams))
    two, second = _fill(split, slope, slice(dams, None))
    return one + two, np.concatenate([first, second])


def _fill(split: Split, slope: Floats, fish: slice) -> tuple[float, Whole]:
    least, most, free = split.least[fish], split.most[fish], split.problem.free
    wanted = free - int(least.sum())
    if wanted < 0 or int(most.sum()) < free or (least > most).any():
        return np.inf, least
    costs = unit_costs(split, slope, fish)
    must = np.arange(costs.shape[1]) < least[:, None]
    total, uses = float(costs[must].sum()), least
    if wanted > 0:
        open_costs = np.where(must, np.inf, costs).ravel()
        chosen = np.argpartition(open_costs, wanted - 1)[:wanted]
        total += float(open_costs[chosen].sum())
        uses = uses + np.bincount(chosen // costs.shape[1], minlength=len(least))
    return total, uses
