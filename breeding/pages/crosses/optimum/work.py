"""What runs beside the site when a plan is optimised: the best plan, the trade-off curve, the price of each limit.

It reads nothing of the register. What it returns is plain text and numbers, crosses by register number.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from breeding.planning.advice.held import binding_of
from breeding.planning.advice.relaxation import Level, Relaxation
from breeding.planning.advice.told import told_blocking, told_proof
from breeding.planning.advice.told_ways import told_way
from breeding.planning.advice.ways_out import ways_out
from breeding.planning.feasible import InfeasibleError
from breeding.planning.plan import Effort, Pair, Plan, Progress, best_plan
from breeding.planning.problem import Problem
from breeding.planning.trade_off import PRICES, limit_costs, trade_off
from registry.exports import runs

# The best plan gets the time asked for; curve and prices together as much again.
SHARE_OF_CURVE, SHARE_OF_COSTS = 0.6, 0.4
METHOD = "uses by descent and restarts, bounds by prices and branches, 1"  # another number with another way

Told = dict[str, Any]


@dataclass(frozen=True)
class Search:
    """What is looked for: the problem, its limits on pairs that are figures, names of limits, and F of the young."""

    problem: Problem
    levels: Mapping[str, Level]
    names: Mapping[str, str]
    inbreeding: Callable[[Sequence[Pair]], float]
    seconds: float


def work_out(search: Search, sign: runs.Sign) -> runs.Run:
    """Return the best plan with its proof, the curve and the price of each limit, or what stands in the way.

    A cancel ends the step at hand; the best plan so far is kept with its honest gap, the steps after it are left out.
    """
    try:
        best = best_plan(search.problem, _effort(search.seconds, sign, "best plan"))
    except InfeasibleError as error:
        return {"blocking": _blocking(search, error)}
    found: runs.Run = {"best": told(search, best) | {"sentences": told_proof(best)}}
    for name, step in {"curve": _curve, "costs": _costs}.items():
        if not sign.cancelled():
            sign.tell(**found)
            found[name] = step(search, best, sign)
    return found


def told(search: Search, plan: Plan) -> Told:
    """Return a plan as plain text and numbers."""
    problem = plan.problem
    return {
        "pairs": [
            [problem.dams[dam], problem.sires[sire], float(problem.between[dam, sire])] for dam, sire in plan.pairs
        ],
        "figures": asdict(plan.figures),
        "inbreeding": search.inbreeding(plan.pairs),
        "lower_bound": plan.lower_bound,
        "proven": plan.proven,
        "binding": [asdict(one) for one in binding_of(problem, plan.pairs)],
        "seconds": plan.seconds,
        "cut_short": plan.cut_short,
    }


def _effort(seconds: float, sign: runs.Sign, part: str) -> Effort:
    def progress(at: Progress) -> None:
        sign.tell(part=part, step=at.step, objective=at.objective, lower_bound=at.lower_bound)

    return Effort(seconds, progress, sign.cancelled)


def _curve(search: Search, _best: Plan, sign: runs.Sign) -> list[Told]:
    effort = _effort(search.seconds * SHARE_OF_CURVE, sign, f"diversity against inbreeding, at {len(PRICES)} prices")
    return [{"price": one.price} | told(search, one.plan) for one in trade_off(search.problem, effort)]


def _costs(search: Search, best: Plan, sign: runs.Sign) -> list[Told]:
    effort = _effort(search.seconds * SHARE_OF_COSTS, sign, "what each limit costs")
    return [
        {"limit": one.limit, "objective": one.objective, "gene_diversity": one.gene_diversity}
        for one in limit_costs(best, effort)
    ]


def _blocking(search: Search, error: InfeasibleError) -> Told:
    ways = ways_out(search.problem, search.levels)
    return {
        "wanted": error.wanted,
        "possible": error.possible,
        "by": told_blocking(error.blocking, search.names),
        "ways": [
            {"sentence": told_way(search.problem, way, search.names), "parts": [_part(part) for part in way.parts]}
            for way in ways
        ],
    }


def _part(part: Relaxation) -> Told:
    return {"limit": part.limit, "how": part.how, "by": part.by, "value": part.value, "fish": list(part.fish)}
