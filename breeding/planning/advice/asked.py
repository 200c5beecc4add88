"""What a plan would be with a pair that is not in it, or without one that is."""

from dataclasses import dataclass, replace

import numpy as np

from breeding.planning.advice.held import CROSSES
from breeding.planning.feasible import InfeasibleError
from breeding.planning.plan import Effort, Pair, Plan, best_plan
from breeding.planning.problem import Problem

LEFT_OUT = "left_out"


@dataclass(frozen=True)
class Asked:
    """The answer to "why not these two?", or "why these two?".

    Attributes
    ----------
    in_plan : whether the pair is in the plan, so that the other plan is one without it.
    limits : the limits that forbid the pair; then no other plan is looked for.
    spent : fish of the pair that crosses made or locked have used up, with the limit, as (fish, limit).
    other : the best plan found with the pair (or without it); None if it is forbidden or leaves no plan.
    worse : by how much the objective of that plan is above that of the plan at hand.
    worse_at_least : what is proven of it: no plan with the pair (without it) costs less than this, 0 or more.
    blocking : the limits in the way where it leaves no plan.
    """

    pair: Pair
    in_plan: bool
    limits: tuple[str, ...] = ()
    spent: tuple[tuple[str, str], ...] = ()
    other: Plan | None = None
    worse: float = 0.0
    worse_at_least: float = 0.0
    blocking: tuple[str, ...] = ()


def ask_about(plan: Plan, pair: Pair, effort: Effort) -> Asked:
    """Why a pair, given as positions (dam, sire), is not in a plan, or why it is; begins from the plan at hand."""
    problem = plan.problem
    if pair in plan.pairs:
        if pair in problem.fixed:
            return Asked(pair, in_plan=True)
        forbidden = np.zeros_like(problem.allowed)
        forbidden[pair] = True
        return _compared(plan, pair, replace(problem, ruled_out={**problem.ruled_out, LEFT_OUT: forbidden}), effort)
    limits = tuple(name for name, out in problem.ruled_out.items() if out[pair])
    spent = tuple(_spent(problem, pair))
    if limits or spent:
        return Asked(pair, in_plan=False, limits=limits, spent=spent)
    if not problem.free:
        return Asked(pair, in_plan=False, blocking=(CROSSES,))
    return _compared(plan, pair, replace(problem, fixed=tuple(sorted([*problem.fixed, pair]))), effort)


def _spent(problem: Problem, pair: Pair) -> list[tuple[str, str]]:
    fish = (pair[0], len(problem.dams) + pair[1])
    return [
        (problem.fish[one], name)
        for one in fish
        for name, most in problem.caps.items()
        if problem.fixed_uses[one] >= most[one]
    ]


def _compared(plan: Plan, pair: Pair, other_problem: Problem, effort: Effort) -> Asked:
    in_plan = pair in plan.pairs
    try:
        other = best_plan(other_problem, effort, near=plan.pairs)
    except InfeasibleError as error:
        return Asked(pair, in_plan, blocking=tuple(dict.fromkeys(one.limit for one in error.blocking)))
    now = plan.figures.objective
    at_least = max(0.0, other.lower_bound - now)
    return Asked(pair, in_plan, other=other, worse=other.figures.objective - now, worse_at_least=at_least)
