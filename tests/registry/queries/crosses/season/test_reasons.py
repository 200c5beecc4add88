"""Why a cross is in, told with register numbers: the small broodstock of the other file."""

from collections.abc import Callable

from breeding.planning.plan import best_plan
from registry.queries.crosses.season.problem import SeasonProblem
from registry.queries.crosses.season.reasons import founders_in, why_in


def test_a_cross_is_told_with_the_founders_it_serves_by_their_numbers(asked: Callable[[], SeasonProblem]) -> None:
    season = asked()
    plan = best_plan(season.problem)
    told = why_in(season, plan.pairs, founders_in(season))
    assert len(told) == 3
    # D1, D2 (of F1 × M1) and H1 (of F2 × M1) live beside the four founders: M1 holds 2.5 of seven shares, F1 2, F2 1.5
    # and M2, who never bred, 1. So M2 and F2 are below a quarter.
    for pair, sentences in told.items():
        served = sentences[-1]
        dam, sire = season.numbers([pair])[0]
        assert ("M2 (14.3 %" in served) == (sire == "M2")
        assert ("F2 (21.4 %" in served) == (dam == "F2" or sire == "H1")


def test_a_stock_of_which_nothing_lives_has_no_founders_to_serve(asked: Callable[[], SeasonProblem]) -> None:
    season = asked()
    assert founders_in(season) is not None
    plan = best_plan(season.problem)
    assert all("serves" not in " ".join(told) for told in why_in(season, plan.pairs, None).values())
