"""Planned family sizes: of which crosses they differ, and the question with those that are in every plan."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from breeding.planning.problem import LivingShare, Problem
from registry.models import PlannedCross
from registry.queries.crosses.season.problem import SeasonProblem
from registry.queries.crosses.season.sides import Pair


def sizes_of(season: SeasonProblem, rows: Iterable[PlannedCross]) -> dict[Pair, float]:
    """Return the planned sizes by positions (dam, sire), in families of the size that the others have."""
    found: dict[Pair, float] = {}
    for row in rows:
        if row.young:
            place, _ = season.positions([(row.dam.number, row.sire.number)])
            found |= dict.fromkeys(place, row.young / season.family_young)
    return found


def with_sizes(season: SeasonProblem, sizes: Mapping[Pair, float]) -> SeasonProblem:
    """Return the question with the sizes of crosses made or locked: those stand, so that the search can reckon by them.

    Sizes of other crosses are left aside: whether such a cross is in the best plan is only to be found out.
    """
    problem = season.problem
    if problem is None or not sizes.keys() & set(problem.fixed):
        return season
    held = replace(problem, sizes={pair: sizes[pair] for pair in problem.fixed if pair in sizes})
    return replace(season, problem=replace(held, living=_living(season, held)))


def _living(season: SeasonProblem, problem: Problem) -> LivingShare | None:
    """Return the living with the share that so many young have beside them, unless the terms say it."""
    if problem.living is None or season.wishes.terms.weight_of_young:
        return problem.living
    young = problem.total * season.family_young
    return replace(problem.living, weight_of_young=young / (young + sum(season.living.values())))
