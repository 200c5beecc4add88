"""What diversity and inbreeding cost each other, and what each limit costs."""

from dataclasses import dataclass, replace

from breeding.planning.advice.lifted import limits_of, without
from breeding.planning.objective import TIE
from breeding.planning.plan import Effort, Plan, best_plan
from breeding.planning.problem import Problem

# From "diversity alone" to "inbreeding counts four times as much"; the curve bends in between.
PRICES = (0.0, 1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0, 4.0)


@dataclass(frozen=True)
class Point:
    """A plan on the curve: what it keeps, and how related its pairs are."""

    price: float
    plan: Plan

    @property
    def gene_diversity(self) -> float:
        """1 − cᵀKc of the young."""
        return 1 - self.plan.figures.group_coancestry

    @property
    def mean_kinship(self) -> float:
        """Mean kinship of the pairs: the expected inbreeding of diploid young."""
        return self.plan.figures.mean_pair_kinship


@dataclass(frozen=True)
class LimitCost:
    """What a plan without one limit would gain: in the objective, and in gene diversity of the young."""

    limit: str
    objective: float
    gene_diversity: float
    plan: Plan


def trade_off(problem: Problem, effort: Effort, prices: tuple[float, ...] = PRICES) -> list[Point]:
    """Plans over a range of prices of inbreeding, the most diverse first; each differs from the one before.

    Parameters
    ----------
    effort
        For the whole curve; every price gets an equal share of the time.

    Raises
    ------
    InfeasibleError
        No plan lies within the limits.
    """
    each = replace(effort, seconds=effort.seconds / len(prices))
    points = [Point(price, best_plan(replace(problem, price=price), each)) for price in sorted(prices)]
    points.sort(key=lambda point: (-point.gene_diversity, point.mean_kinship))
    curve = points[:1]
    for point in points[1:]:
        if point.mean_kinship < curve[-1].mean_kinship - TIE:
            curve.append(point)
    return curve


def limit_costs(plan: Plan, effort: Effort) -> list[LimitCost]:
    """What each limit costs: the plan against the best one without that limit, the dearest first.

    Parameters
    ----------
    effort
        For all limits together; each gets an equal share of the time.
    """
    # The number of crosses stays, so room for more of them gains nothing.
    names = [name for name in limits_of(plan.problem) if name not in plan.problem.in_all]
    relaxed = {name: without(plan.problem, name) for name in names}
    each = replace(effort, seconds=effort.seconds / max(len(relaxed), 1))
    costs = []
    for name, problem in relaxed.items():
        free = best_plan(problem, each)
        # Without the limit the plan at hand still stands; a search cut short must not make a limit look like a gain.
        gain = max(0.0, plan.figures.objective - free.figures.objective)
        better = free if gain > TIE else plan
        diversity = plan.figures.group_coancestry - better.figures.group_coancestry
        costs.append(LimitCost(name, gain, diversity, better))
    return sorted(costs, key=lambda cost: (-cost.objective, cost.limit))
