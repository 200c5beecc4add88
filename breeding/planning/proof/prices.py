"""The relaxed problem with its pairs: who may meet whom, and the price of inbreeding, taken into the bound.

Any prices α of dams and β of sires give a bound that holds: a pair costs at least min(0, p − α − β) beside them, and
the uses then cost their slope + α or β, which sorting settles exactly. Good prices are the duals of the flow over
allowed pairs; a solver's rounding can make them a little worse, never false.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.optimize import linprog  # type: ignore[attr-defined]

from breeding.planning.flow import incidence_of
from breeding.planning.problem import Floats, Truths, Whole
from breeding.planning.proof.relaxed import Corner, Split, sorted_fill, unit_costs

# So many pairs are given to the solver at once; further ones as they turn out to be wanted.
ALL_PAIRS = 800
CHEAPEST_A_FISH = 8
MOST_ADDITIONS = 6


@dataclass(slots=True, eq=False)
class PairFlow:
    """The flow over allowed pairs.

    Attributes
    ----------
    highest
        The largest use of a fish that the solver looks at; the bound holds for all.
    allowed : (dams, sires), pairs of fish that may be used.
    columns : (dams, sires), those of them that the solver is given.
    """

    split: Split
    highest: int
    allowed: Truths
    columns: Truths

    def least(self, slope: Floats) -> tuple[float, Corner | None]:
        """A bound on the cost of pairs and uses, and a corner that is (nearly) as cheap.

        Infinite and None if the limits leave no plan. `slope` is (fish,).
        """
        if not self._complete:
            dams = len(self.split.problem.dams)
            cost = self.split.objective.pair + slope[:dams, None] + slope[None, dams:]
            self.columns |= _cheapest(np.where(self.allowed, cost, np.inf))
        best, corner = -np.inf, None
        for _ in range(MOST_ADDITIONS):
            found = _solve(self.split, self.columns, slope, self.highest)
            if found is None:
                nothing_left = self._complete and self.highest >= int(self.split.most.max())
                return np.inf if nothing_left else best, None
            prices, corner = found
            value, wanted = self._bound(slope, prices)
            best = max(best, value)
            if not wanted.any():
                break
            self.columns |= wanted
        return best, corner

    @property
    def _complete(self) -> bool:
        return bool(self.columns.sum() == self.allowed.sum())

    def _bound(self, slope: Floats, prices: Floats) -> tuple[float, Truths]:
        """The bound from these prices, and the pairs left out that would lower the solver's answer."""
        dams = len(self.split.problem.dams)
        reduced = self.split.objective.pair - prices[:dams, None] - prices[None, dams:]
        reduced = np.where(self.allowed, np.minimum(reduced, 0.0), 0.0)
        value = float(reduced.sum()) + sorted_fill(self.split, slope + prices)[0]
        size = float(np.abs(prices).max(initial=0.0)) + float(np.abs(slope).max())
        missing = np.where(self.columns, 0.0, reduced)
        missing[missing > -1e-9 * size] = 0.0
        return value, (missing < 0) & _cheapest(missing)


def pair_flow(split: Split, pairs: Sequence[tuple[int, int]], highest: int) -> PairFlow:
    """The flow over the pairs that a split leaves; some `pairs` are known to be good ones."""
    most, dams = split.most, len(split.problem.dams)
    allowed = split.problem.allowed & (most[:dams, None] > 0) & (most[None, dams:] > 0)
    columns = allowed.copy()
    if allowed.sum() > ALL_PAIRS:
        columns[:] = False
        for pair in pairs:
            columns[pair] = allowed[pair]
    return PairFlow(split, highest, allowed, columns)


def _cheapest(cost: Floats) -> Truths:
    """The few cheapest entries of each row and each column."""
    chosen = np.zeros(cost.shape, dtype=bool)
    for axis in (0, 1):
        count = min(CHEAPEST_A_FISH, cost.shape[axis])
        order = np.argpartition(cost, count - 1, axis=axis).take(range(count), axis=axis)
        np.put_along_axis(chosen, order, np.take_along_axis(cost, order, axis) < np.inf, axis=axis)
    return chosen


def _solve(split: Split, columns: Truths, slope: Floats, highest: int) -> tuple[Floats, Corner] | None:
    """Prices of the fish, (fish,), and the cheapest corner over some pairs."""
    problem, dams = split.problem, len(split.problem.dams)
    fish, pairs = len(problem.fish), np.argwhere(columns)
    if problem.scheme is not None:
        highest = max(highest, int(problem.mates.max()))
    units, owner, count = _units(split, slope, highest)
    must = (count < split.least[owner]).astype(float)
    balance = sparse.csr_array((-np.ones(len(units)), (owner, np.arange(len(units)))), shape=(fish, len(units)))
    total = np.concatenate([np.zeros(len(pairs)), owner < dams])[None]
    first = np.concatenate([np.zeros(len(pairs)), (count == 0) & problem.fresh[owner]])
    of_sires = np.concatenate([np.zeros(len(pairs)), owner >= dams])
    new_fish = np.array([first * (1 - of_sires), first * of_sires])
    price = split.objective.pair[columns]
    cost = np.concatenate([price, units])
    scale = float(np.abs(cost).max()) or 1.0
    found = linprog(
        cost / scale,
        A_eq=sparse.vstack([sparse.hstack([incidence_of(pairs, dams, fish), balance]), sparse.csr_array(total)]),
        b_eq=np.concatenate([np.zeros(fish), [problem.free]]),
        A_ub=-sparse.csr_array(new_fish) if any(problem.new_fish) else None,
        b_ub=-np.array(problem.new_fish) if any(problem.new_fish) else None,
        bounds=np.column_stack([np.concatenate([np.zeros(len(pairs)), must]), np.ones(len(cost))]),
        method="highs-ds",
    )
    if found.x is None:
        return None
    chosen = found.x[: len(pairs)] > 0.5
    uses: Whole = np.bincount(pairs[chosen, 0], minlength=fish) + np.bincount(pairs[chosen, 1] + dams, minlength=fish)
    return found.eqlin.marginals[:fish] * scale, Corner(uses, float(price[chosen].sum()))


def _units(split: Split, slope: Floats, highest: int) -> tuple[Floats, Whole, Whole]:
    """Costs of single uses, whose they are, and which of its uses, counted from 0."""
    problem = split.problem
    costs = np.full((len(problem.fish), max(int(split.most.max()), 1)), np.inf)
    for part in problem.sides:
        own = unit_costs(split, slope, part)
        costs[part, : own.shape[1]] = own
    costs = costs[:, : max(highest, int(split.least.max()))]
    owner, count = np.nonzero(np.isfinite(costs))
    return costs[owner, count], owner, count
