"""What runs beside the site when a plan is optimised: the best plan, the trade-off curve, the price of each limit.

It reads nothing of the register. What it returns is plain text and numbers, crosses by register number.
"""

from collections.abc import Callable
from dataclasses import asdict
from functools import partial
from typing import Any

from breeding.planning.feasible import InfeasibleError
from breeding.planning.plan import Effort, Plan, Progress, best_plan
from breeding.planning.problem import Problem
from breeding.planning.trade_off import PRICES, limit_costs, trade_off
from registry.exports import runs

# The best plan gets the time asked for; curve and prices together as much again, since neither needs a proof to help.
SHARE_OF_CURVE, SHARE_OF_COSTS = 0.6, 0.4
METHOD = "uses by descent and restarts, bounds by prices and branches, 1"  # another number with another way

Told = dict[str, Any]


def work_out(problem: Problem, seconds: float, sign: runs.Sign) -> runs.Run:
    """Return the best plan with its proof, the curve and the price of each limit, or what stands in the way.

    A cancel ends the step at hand; the best plan so far is kept with its honest gap, the steps after it are left out.
    """
    try:
        best = best_plan(problem, _effort(seconds, sign, "best plan"))
    except InfeasibleError as error:
        return {
            "blocking": {"wanted": error.wanted, "possible": error.possible, "by": list(map(asdict, error.blocking))}
        }
    found: runs.Run = {"best": told(best)}
    steps: dict[str, Callable[[], Any]] = {
        "curve": partial(_curve, problem, seconds * SHARE_OF_CURVE, sign),
        "costs": partial(_costs, best, seconds * SHARE_OF_COSTS, sign),
    }
    for name, step in steps.items():
        if not sign.cancelled():
            sign.tell(**found)
            found[name] = step()
    return found


def told(plan: Plan) -> Told:
    """Return a plan as plain text and numbers."""
    problem = plan.problem
    return {
        "pairs": [
            [problem.dams[dam], problem.sires[sire], float(problem.between[dam, sire])] for dam, sire in plan.pairs
        ],
        "figures": asdict(plan.figures),
        "lower_bound": plan.lower_bound,
        "gap": plan.gap,
        "proven": plan.proven,
        "binding": [asdict(one) for one in plan.binding],
        "seconds": plan.seconds,
        "cut_short": plan.cut_short,
    }


def _effort(seconds: float, sign: runs.Sign, part: str) -> Effort:
    def progress(at: Progress) -> None:
        sign.tell(part=part, step=at.step, objective=at.objective, lower_bound=at.lower_bound)

    return Effort(seconds, progress, sign.cancelled)


def _curve(problem: Problem, seconds: float, sign: runs.Sign) -> list[Told]:
    points = trade_off(
        problem, _effort(seconds, sign, f"trade-off between diversity and inbreeding, {len(PRICES)} plans")
    )
    return [{"price": point.price} | told(point.plan) for point in points]


def _costs(best: Plan, seconds: float, sign: runs.Sign) -> list[Told]:
    costs = limit_costs(best, _effort(seconds, sign, "price of each limit"))
    return [{"limit": cost.limit, "objective": cost.objective, "gene_diversity": cost.gene_diversity} for cost in costs]
