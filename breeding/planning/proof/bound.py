"""How good any plan can be at best: a lower bound on the objective that nobody has to trust.

Fully corrective Frank–Wolfe (Frank and Wolfe 1956): tangent at the mixture of the corners found so far, the next corner
is what the tangent likes best, and the value there bounds every plan from below. Between rounds the diagonal is split
off anew where the mixture is broken.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from breeding.planning.objective import objective_of
from breeding.planning.problem import Floats, Problem, uses_of
from breeding.planning.proof.grid import grid_of, rounded_up
from breeding.planning.proof.hull import Hull, single
from breeding.planning.proof.prices import pair_flow
from breeding.planning.proof.relaxed import Corner, Split, sorted_fill
from breeding.planning.proof.split import better_split, first_split

Oracle = Callable[[Floats], tuple[float, Corner | None]]

ROUNDS = 40
SPLITS = 6
WORTH_WHILE = 0.02  # of the gap that is left
CLOSED = 1e-10  # of the objective: nothing is left to close


@dataclass(slots=True, eq=False)
class Bound:
    """The best bound so far and how it was come by; changed in place.

    Attributes
    ----------
    value
        No plan has an objective below this.
    aim
        Objective of the best plan known: where the bound need not go beyond.
    stop
        Asked now and then; True ends the work with the bound so far.
    grid
        Distance between values that the objective can take, None if there is none.
    risen
        Told when the bound is higher than before.
    """

    problem: Problem
    split: Split
    value: float
    aim: float
    grid: float | None
    stop: Callable[[], bool] = lambda: False
    risen: Callable[[], None] = lambda: None

    @property
    def closed(self) -> bool:
        """Whether the best plan is proven."""
        return self.reaches(self.value)

    def reaches(self, value: float) -> bool:
        """Whether a bound on some plans shows that none of them is better than the best."""
        return rounded_up(value, self.grid) >= self.aim - CLOSED * abs(self.aim)

    def raise_to(self, value: float) -> None:
        """Take a higher bound over, rounded up to what the objective can be."""
        if value > self.value:
            self.value = max(self.value, rounded_up(value, self.grid))


def new_bound(problem: Problem, aim: float) -> Bound:
    """The bound before any work: no coancestry is negative."""
    return Bound(problem, first_split(problem, objective_of(problem)), 0.0, aim, grid_of(problem))


def raise_by_uses(bound: Bound, pairs: Sequence[tuple[int, int]]) -> None:
    """Raise the bound by the uses alone: fast, and enough where few pairs are ruled out and inbreeding has no price.

    Parameters
    ----------
    pairs
        A plan without its fixed pairs, to begin from.
    """
    price = least_price(bound.split)
    _raise(bound, Corner(uses_of(bound.problem, pairs), price), by_uses)


def raise_by_pairs(bound: Bound, pairs: Sequence[tuple[int, int]]) -> None:
    """Raise the bound with the pairs in it: slower, and close where limits on pairs bite or inbreeding has a price."""
    price = float(sum(bound.split.objective.pair[pair] for pair in pairs))
    start = Corner(uses_of(bound.problem, pairs), price)
    highest = int(start.uses.max()) + 2
    _raise(bound, start, lambda split: pair_flow(split, pairs, highest).least)


def by_uses(split: Split) -> Oracle:
    """Corners by sorting; each pair at the least price of any."""
    price = least_price(split)

    def oracle(slope: Floats) -> tuple[float, Corner | None]:
        value, uses = sorted_fill(split, slope)
        return value + price, Corner(uses, price) if np.isfinite(value) else None

    return oracle


def least_price(split: Split) -> float:
    """What the pairs of any plan cost at least, whoever they are."""
    allowed = split.problem.allowed
    return split.problem.free * float(np.min(split.objective.pair, where=allowed, initial=np.inf))


def _raise(bound: Bound, start: Corner, oracle: Callable[[Split], Oracle]) -> None:
    hull, split, spread = single(start), bound.split, np.zeros(len(start.uses))
    for count in range(SPLITS):
        value = rounds(bound, split, hull, oracle(split))
        little = value < bound.value + WORTH_WHILE * (bound.aim - bound.value)
        if value > bound.value:
            bound.raise_to(value)
            bound.split = split
            bound.risen()
        if bound.closed or bound.stop() or (little and count > 1) or count == SPLITS - 1:
            return
        # The mean over the splits so far: a diagonal made for one mixture alone breaks it elsewhere.
        spread += (hull.spread(split) - spread) / (count + 1)
        split = better_split(split, spread)


def rounds(bound: Bound, split: Split, hull: Hull, oracle: Oracle) -> float:
    """The bound that tangents of a split give; infinite if it leaves no plan. `hull` gathers the corners met.

    Ends when the bound has reached what is wanted of it, or what these tangents can give.
    """
    best = -np.inf
    for _ in range(ROUNDS):
        point = hull.settled(split)
        least, corner = oracle(split.slope(point))
        best = max(best, split.offset(point) + least)
        left = hull.value(split) - best
        enough = bound.reaches(best) or left <= 0.02 * (bound.aim - best)
        if corner is None or enough or bound.stop():
            return best
        hull.add(corner)
    return best
