"""The figures of a plan changed by hand, beside the best that was found: fast enough to follow each change."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from breeding.planning.advice.held import Broken, broken_by
from breeding.planning.objective import Figures, figures_of
from breeding.planning.problem import Problem

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


def figures_of_any(problem: Problem, pairs: Sequence[Pair], sizes: Mapping[Pair, float] | None = None) -> Figures:
    """Figures of any set of one or more crosses, with as many as they are in place of those wanted.

    `sizes` of families, where they differ, in place of those of the problem.
    """
    given = problem.sizes if sizes is None else sizes
    held = {pair: size for pair, size in given.items() if pair in set(pairs)}
    return figures_of(replace(problem, crosses=len(pairs), fixed=tuple(pairs), sizes=held, in_all={}), pairs)


def figures_beside(
    problem: Problem, pairs: Sequence[Pair], optimum: Optimum, sizes: Mapping[Pair, float] | None = None
) -> Beside:
    """The figures of one or more crosses beside the best plan, and the limits that they break.

    Costs a few products with the kinship of the fish used, and one look at each limit: milliseconds for hundreds of
    candidates. With another number of crosses than is wanted J is still told, but compares different seasons.
    """
    figures = figures_of_any(problem, pairs, sizes)
    bound, objective = optimum.lower_bound, figures.objective
    at_most = None if bound is None else (max(0.0, (objective - bound) / objective) if objective > 0 else 0.0)
    return Beside(
        figures,
        objective - optimum.objective,
        figures.group_coancestry - optimum.group_coancestry,
        at_most,
        tuple(broken_by(problem, pairs)),
    )
