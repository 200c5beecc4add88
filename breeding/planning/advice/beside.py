"""The figures of a plan changed by hand, beside the best that was found: fast enough to follow each change."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from breeding.planning.advice.held import Broken, broken_by
from breeding.planning.objective import TIE, Figures, figures_of, objective_of
from breeding.planning.plan import Plan
from breeding.planning.problem import Problem
from breeding.planning.search.descent import replace_one
from breeding.planning.search.draft import new_draft

Pair = tuple[int, int]


@dataclass(frozen=True)
class Optimum:
    """What is known of the best plan: its objective J and cᵀKc, and a bound on J of any plan; None if not known."""

    objective: float
    group_coancestry: float
    lower_bound: float | None = None


@dataclass(frozen=True)
class Beside:
    """A set of crosses beside the best plan.

    Attributes
    ----------
    figures : of the crosses as they are, whatever their number.
    worse : by how much their J is above that of the best plan; below 0 where a limit was left aside, or where the best
        plan was not the best.
    diversity_lost : of gene diversity of the young against the best plan; below 0 if they keep more.
    at_most_better : how much better any plan within the limits can be at most, as a share of J; None without a bound.
    broken : the limits that they do not keep; none if they are a plan.
    """

    figures: Figures
    worse: float
    diversity_lost: float
    at_most_better: float | None
    broken: tuple[Broken, ...]


@dataclass(frozen=True)
class Change:
    """A change of one cross, pairs as positions (dam, sire), and by how much it lowers J."""

    lost: Pair
    added: Pair
    gain: float


def optimum_of(plan: Plan) -> Optimum:
    """What a plan that was just found says of the best."""
    return Optimum(plan.figures.objective, plan.figures.group_coancestry, plan.lower_bound)


def figures_of_any(problem: Problem, pairs: Sequence[Pair]) -> Figures:
    """Figures of any set of one or more crosses, with as many as they are in place of those wanted."""
    return figures_of(replace(problem, crosses=len(pairs), fixed=(), in_all={}), pairs)


def figures_beside(problem: Problem, pairs: Sequence[Pair], optimum: Optimum) -> Beside:
    """The figures of one or more crosses beside the best plan, and the limits that they break.

    Costs a few products with the kinship of the fish used, and one look at each limit: milliseconds for hundreds of
    candidates. With another number of crosses than is wanted J is still told, but compares different seasons.
    """
    figures = figures_of_any(problem, pairs)
    bound, objective = optimum.lower_bound, figures.objective
    at_most = None if bound is None else (max(0.0, (objective - bound) / objective) if objective > 0 else 0.0)
    return Beside(
        figures,
        objective - optimum.objective,
        figures.group_coancestry - optimum.group_coancestry,
        at_most,
        tuple(broken_by(problem, pairs)),
    )


def best_change(problem: Problem, pairs: Sequence[Pair]) -> Change | None:
    """The change of a single cross that lowers J most, all others staying; None if none does.

    For sets of crosses that are a plan of a problem without a scheme, where single crosses can be changed.
    """
    if problem.scheme is not None or broken_by(problem, pairs):
        return None
    free = sorted(set(pairs) - set(problem.fixed))
    now, draft = figures_of(problem, pairs).objective, new_draft(problem, objective_of(problem), free)
    found = []
    for pair in free:
        trial = draft.copy()
        if replace_one(trial, pair):
            (added,) = set(trial.pairs) - set(free)
            gain = now - figures_of(problem, [*problem.fixed, *trial.pairs]).objective
            found.append(Change(pair, added, gain))
    best = max(found, key=lambda one: one.gain, default=None)
    return best if best is not None and best.gain > TIE else None
