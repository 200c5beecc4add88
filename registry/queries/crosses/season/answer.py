"""The figures and the bound of a set of crosses, as they are kept with a plan."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

import numpy as np

from breeding.planning.advice.beside import figures_of_any
from breeding.planning.advice.young import young_of
from breeding.planning.plan import PROVEN
from registry.queries.crosses.season.problem import Numbers, SeasonProblem
from registry.queries.crosses.season.question import as_asked, question_of
from registry.queries.crosses.season.sides import Pair
from registry.rules.crossing.plans import Answer


def answer_of(
    season: SeasonProblem, pairs: Iterable[Numbers], bound: float | None, sizes: Mapping[Pair, float] | None = None
) -> Answer | None:
    """Return the figures of some crosses; None where they cannot all be judged.

    `bound`: on J of any plan that the season asks for; it says nothing of another number of crosses. `sizes`: of the
    families, as far as they differ; those that are searched with by default.
    """
    problem = season.problem
    found, strange = season.positions(pairs)
    if strange or not found or not problem:
        return None
    figures = figures_of_any(problem, found, problem.sizes if sizes is None else sizes)
    if len(found) != problem.crosses:
        bound = None
    gap = None if bound is None else figures.objective - bound
    return Answer(
        objective=Decimal(repr(figures.objective)),
        group_coancestry=Decimal(repr(figures.group_coancestry)),
        mean_inbreeding=Decimal(repr(inbreeding_of(season, found, sizes))),
        lower_bound=None if bound is None else Decimal(repr(bound)),
        proven=gap is not None and gap <= PROVEN * figures.objective,
        asked=as_asked(question_of(problem)),
    )


def inbreeding_of(season: SeasonProblem, pairs: Sequence[Pair], sizes: Mapping[Pair, float] | None = None) -> float:
    """Return the mean expected inbreeding of the young of some crosses, by position and by their sizes."""
    assert season.problem is not None
    given = season.problem.sizes if sizes is None else sizes
    weights = [given.get(pair, 1.0) for pair in pairs]
    young = young_of(season.problem, pairs, season.pedigree, season.at)
    return float(np.average(young.inbreeding, weights=weights))
