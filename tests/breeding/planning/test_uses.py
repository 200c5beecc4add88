"""Uses that pass from fish to fish: what they are worth is what the plan is worth, and every limit stays kept."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from breeding.planning.feasible import InfeasibleError, check_feasible, some_pairs
from breeding.planning.objective import figures_of, objective_of
from breeding.planning.search.draft import new_draft
from breeding.planning.search.restarts import better_uses, complete, figures
from breeding.planning.search.uses import settle, shaken, uses_in
from tests.breeding.planning.cases import season, season_by_scheme, within_limits


@settings(max_examples=40)
@given(st.integers(0, 100_000), st.booleans())
def test_shaken_uses_keep_every_limit_on_uses_and_are_worth_what_their_plan_is(seed: int, by_scheme: bool) -> None:
    problem = season_by_scheme(seed) if by_scheme else season(seed)
    assume(problem.price == 0)
    try:
        check_feasible(problem)
    except InfeasibleError:
        assume(False)
    draft = new_draft(problem, objective_of(problem))
    complete(draft)
    state, random = uses_in(draft), np.random.default_rng(seed)
    for _ in range(4):
        before = state.value
        settle(state)
        assert state.value <= before + 1e-12
        pairs = some_pairs(problem, state.uses)
        if pairs is not None:
            whole = (*problem.fixed, *pairs)
            assert within_limits(problem, tuple(sorted(whole)))
            worth = figures_of(problem, whole).objective - draft.objective.constant
            assert state.value == pytest.approx(worth, abs=1e-12)
        state = shaken(state, random)


def test_better_uses_end_at_once_when_told_to_and_never_make_a_plan_worse() -> None:
    problem = replace(
        season(12), price=0.0, crosses=4, fewest_dams=0, fewest_sires=0, most={}, ruled_out={}, least=None
    )
    draft = new_draft(problem, objective_of(problem))
    complete(draft)
    assert better_uses(draft, lambda: True) is draft
    assert figures(better_uses(draft, lambda: False)).objective <= figures(draft).objective
