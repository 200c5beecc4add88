"""What the optimiser knows of a plan, in plain sentences. Limits are told by the names that the caller gives them."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from itertools import groupby

from breeding.planning.advice.asked import Asked
from breeding.planning.advice.standing import Served, Standing
from breeding.planning.feasible import Blocking
from breeding.planning.objective import TIE
from breeding.planning.plan import Plan
from breeding.planning.problem import Problem
from breeding.planning.reasons import figure

Names = Mapping[str, str]

MOST_NAMED = 5
DECIMALS = range(2, 9)


def listed(names: Sequence[str]) -> str:
    """Names in a row: "F1, F2 and F3"; beyond a few their number."""
    if len(names) > MOST_NAMED:
        return f"{', '.join(names[: MOST_NAMED - 1])} and {len(names) - MOST_NAMED + 1} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def per_cent(*shares: float) -> list[str]:
    """Shares in per cent, with as many decimals as it takes to tell them apart, two at least."""
    for decimals in DECIMALS:
        told = [f"{100 * share:.{decimals}f} %" for share in shares]
        apart = {round(share, 12) for share in shares}
        if len(set(told)) >= len(apart):
            return told
    return told


def judged_by(problem: Problem) -> str:
    """What a plan of the problem is judged by."""
    whose = "of the young" if problem.living is None else "of living stock and young together"
    price = f" and inbreeding of the young at a price of {problem.price:g}" if problem.price > 0 else ""
    return f"gene diversity {whose}{price}"


def told_proof(plan: Plan) -> list[str]:
    """How good the plan is, and how much better any other could be."""
    sentences = [_kept(plan) if plan.problem.price == 0 else _gap(plan)]
    if plan.cut_short and not plan.proven:
        sentences.append("The work was ended before it was done: more time may find a better plan or a closer bound.")
    return sentences


def _kept(plan: Plan) -> str:
    kept, most = per_cent(1 - plan.figures.objective, 1 - plan.lower_bound)
    what = f"gene diversity {'in the young' if plan.problem.living is None else 'in living stock and young together'}"
    if plan.proven:
        return f"This plan keeps {kept} of {what}; no plan within these limits can keep more."
    return f"No plan within these limits can keep more than {most} of {what}; this one keeps {kept}."


def _gap(plan: Plan) -> str:
    judged = f"judged by {judged_by(plan.problem)}"
    if plan.proven:
        return f"No plan within these limits is better, {judged}."
    return f"No plan within these limits is more than {per_cent(plan.gap)[0]} better, {judged}."


def told_standing(
    problem: Problem, standing: Standing, served: Sequence[Served], founder_names: Mapping[Hashable, str]
) -> list[str]:
    """Why a cross is in the plan: its place, what it would cost to do without it, the founders it serves."""
    sentences = [_place(problem, standing)]
    if served:
        told = [
            f"{founder_names.get(one.founder, one.founder)} ({_share(one.in_stock)} of the stock's genes, "
            f"{_share(one.in_young)} of its young's)"
            for one in served[:3]
        ]
        sentences.append(f"It serves founders that are rarer than their equal share: {listed(told)}.")
    return sentences


def _share(value: float) -> str:
    return f"{100 * value:.1f} %"


def _place(problem: Problem, standing: Standing) -> str:
    if standing.fixed:
        return "It was made already, or is locked: it is part of every plan."
    if problem.scheme is not None:
        return "Under a scheme no single cross can take its place; ask what the plan would be without it."
    if standing.next_best is None:
        return "No other pair could stand in its place within the limits."
    dam, sire = standing.next_best
    other = f"{problem.dams[dam]} × {problem.sires[sire]}"
    if standing.rank > 1:
        better = f"{other} would be better by {figure(-standing.loss, 6)}"
        return f"It is number {standing.rank} of {standing.of} pairs that could stand in its place: {better}."
    if standing.loss <= TIE:
        return f"Of {standing.of} pairs that could stand in its place {other} would be as good."
    cost = f"the next, {other}, would cost {figure(standing.loss, 6)} of {judged_by(problem)}"
    return f"It is the best of {standing.of} pairs that could stand in its place; {cost}."


def told_asked(plan: Plan, asked: Asked, names: Names) -> list[str]:
    """The answer to a question about a pair."""
    problem = plan.problem
    pair = f"{problem.dams[asked.pair[0]]} × {problem.sires[asked.pair[1]]}"
    if asked.limits:
        limits = listed([names.get(one, one) for one in asked.limits])
        return [f"{pair} may not be made: {limits}."]
    if asked.spent:
        return [f"{pair}: {fish} has no crosses left ({names.get(limit, limit)})." for fish, limit in asked.spent]
    if asked.in_plan and asked.other is None and not asked.blocking:
        return [f"{pair} was made already, or is locked: it is part of every plan."]
    way = "without" if asked.in_plan else "with"
    if asked.other is None:
        return [f"There is no plan {way} {pair} within the limits; in the way: {_limits(asked.blocking, names)}."]
    if asked.worse <= TIE:
        return [f"The plan {way} {pair} would be as good as this one, judged by {judged_by(problem)}."]
    cost = f"would be worse by {figure(asked.worse, 6)}, judged by {judged_by(problem)}"
    sure = "that is proven"
    if asked.worse - asked.worse_at_least > TIE:
        sure = f"by {figure(asked.worse_at_least, 6)} at least" if asked.worse_at_least > TIE else "if not by less"
    return [f"The best plan found {way} {pair} {cost} ({sure})."]


def _limits(limits: Iterable[str], names: Names) -> str:
    return listed([names.get(one, one) for one in limits])


def told_blocking(blocking: Sequence[Blocking], names: Names) -> list[str]:
    """Limit by limit, who stands in the way of any plan."""
    sentences = []
    for limit, group in groupby(blocking, key=lambda one: one.limit):
        fish = [one.fish for one in group if one.fish]
        name = names.get(limit, limit)
        sentences.append(f"{name}: {listed(fish)}." if fish else f"{name}: of the plan as a whole.")
    return [one[:1].upper() + one[1:] for one in sentences]
