"""The season's question is asked once, and anew after anything that could change it."""

from typing import Any

import pytest
from django.core.cache import cache

from registry.models import CrossPlan
from registry.queries.crosses.season import keep
from registry.queries.crosses.season.keep import kept_season
from tests.registry.queries.crosses.season.conftest import word_on_fish
from tests.support.broodstock import check


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Return the plans of which the question was asked of the register, one by one."""
    cache.clear()
    asked: list[str] = []
    real = keep.season_problem

    def counted(plan: CrossPlan, *more: Any) -> Any:
        asked.append(plan.number)
        return real(plan, *more)

    monkeypatch.setattr(keep, "season_problem", counted)
    return asked


def test_looking_twice_and_putting_a_pair_in_ask_the_register_once(plan: CrossPlan, client_of, asked) -> None:
    desk = client_of("geneticist")
    first = kept_season(plan)
    assert desk.post("/plans/P1/pair/add/", {"dam": "F1", "sire": "M2"}).status_code == 302
    again = kept_season(plan)
    assert asked == ["P1"]
    assert again.plan is plan
    assert again.problem is not None
    assert again.problem.fish == first.problem.fish


def test_a_word_on_a_fish_and_a_maturity_check_change_the_question(plan: CrossPlan, asked) -> None:
    assert "F1" in kept_season(plan).candidates
    word_on_fish("F1", "out")
    assert "F1" not in kept_season(plan).candidates
    check("M1", "M2", days_ago=1)
    assert "M1" not in kept_season(plan).candidates
    assert len(asked) == 3
