"""The relaxed problem that gives the bound: uses by sorting unit costs, the rest of the objective by its tangent.

With K = (K − Δ) + Δ, K − Δ positive semidefinite and Δ diagonal, the first part lies above each of its tangents, and
Δ_i x_i² is kept as it is on whole numbers: the k-th use of a fish costs (2k − 1) Δ_i. Under a scheme a fish has all of
its mates or none, and Δ_i x² is Δ_i · mates for each of them.
"""

from dataclasses import dataclass

import numpy as np

from breeding.planning.objective import Objective
from breeding.planning.problem import Floats, Problem, Truths, Whole


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

    @property
    def straight(self) -> Truths:
        """Fish whose Δ x² is told by its chord from nought to the most uses, (fish,)."""
        # A negative Δ bends the other way: its chord lies below it. Under a scheme there is nothing between the ends.
        return (self.diagonal < 0) | (self.problem.scheme is not None)

    def own(self, uses: Whole) -> float:
        """Σ Δ x² of whole uses; not above it where Δ < 0."""
        return float(np.sum(np.where(self.straight, self.most, uses) * self.diagonal * uses))


@dataclass(frozen=True, eq=False)
class Corner:
    """Whole uses, (fish,), with their costs: of the pairs alone, and with all that is not the tangent."""

    uses: Whole
    pair_cost: float


def unit_costs(split: Split, slope: Floats, fish: slice) -> Floats:
    """Cost of the first, second … use of each fish, (fish of the slice, uses); infinite beyond the most."""
    most, diagonal = split.most[fish], split.diagonal[fish]
    count = np.arange(1, max(int(most.max()), 1) + 1)
    straight = split.straight[fish]
    own = np.where(straight[:, None], (diagonal * most)[:, None], diagonal[:, None] * (2 * count - 1))
    costs: Floats = np.where(count <= most[:, None], slope[fish, None] + own, np.inf)
    return costs


def sorted_fill(split: Split, slope: Floats) -> tuple[float, Whole]:
    """The least cost of uses within their limits, dams and sires each adding up to the crosses; pairs left aside.

    Exact, since the costs of further uses of a fish never fall. Infinite if the limits leave no room.
    """
    problem = split.problem
    filled = _fill if problem.scheme is None else _fill_whole
    one, two = (filled(split, slope, side) for side in (0, 1))
    return one[0] + two[0], np.concatenate([one[1], two[1]])


def _fill(split: Split, slope: Floats, side: int) -> tuple[float, Whole]:
    fish = split.problem.sides[side]
    least, most, free = split.least[fish], split.most[fish], split.problem.free
    if int(least.sum()) > free or int(most.sum()) < free or (least > most).any():
        return np.inf, least
    costs = unit_costs(split, slope, fish)
    uses = _with_new_fish(split, side, costs[:, 0])
    wanted = free - int(uses.sum())
    if wanted < 0:
        return np.inf, uses
    must = np.arange(costs.shape[1]) < uses[:, None]
    total = float(costs[must].sum())
    if wanted > 0:
        open_costs = np.where(must, np.inf, costs).ravel()
        chosen = np.argpartition(open_costs, wanted - 1)[:wanted]
        total += float(open_costs[chosen].sum())
        uses = uses + np.bincount(chosen // costs.shape[1], minlength=len(least))
    return total, uses


def _with_new_fish(split: Split, side: int, first_use: Floats) -> Whole:
    """The least uses with the cheapest first uses that bring in as many different fish as must be used.

    Too few of them cost infinitely much, or more uses than there are. Taking the cheapest is exact: any plan has so
    many first uses, and can only be made cheaper by changing them for these.
    """
    fish = split.problem.sides[side]
    least, fresh = split.least[fish], split.problem.fresh[fish]
    lacking = split.problem.new_fish[side] - int((fresh & (least > 0)).sum())
    if lacking <= 0:
        return least
    can = np.flatnonzero(fresh & (least == 0) & (split.most[fish] > 0))
    uses: Whole = least.copy()
    if len(can) < lacking:
        return uses + split.problem.free  # more uses than the plan has room for
    uses[can[np.argpartition(first_use[can], lacking - 1)[:lacking]]] = 1
    return uses


def _fill_whole(split: Split, slope: Floats, side: int) -> tuple[float, Whole]:
    """The same under a scheme: the cheapest fish, each with all of its mates."""
    problem, fish = split.problem, split.problem.sides[side]
    least, most, mates = split.least[fish], split.most[fish], int(problem.mates[fish][0])
    wanted, rest = divmod(problem.free - int(least.sum()), mates)
    can = np.flatnonzero((least == 0) & (most >= mates))
    brought_in = int(((least > 0) & problem.fresh[fish]).sum()) + wanted
    if wanted < 0 or rest or wanted > len(can) or (least > most).any() or brought_in < problem.new_fish[side]:
        return np.inf, least
    of_use = slope[fish] + split.diagonal[fish] * most
    uses, total = least.copy(), float(of_use @ least)
    if wanted > 0:
        chosen = can[np.argpartition(of_use[can], wanted - 1)[:wanted]]
        uses[chosen] = mates
        total += mates * float(of_use[chosen].sum())
    return total, uses
