"""A full factorial of chosen fish: every female chosen meets every male chosen; what nobody chose, the search does."""

from collections.abc import Callable

import pytest

from breeding.planning.feasible import InfeasibleError
from breeding.planning.plan import best_plan
from breeding.planning.problem import Scheme
from registry.models import JournalEntry, PlanFish
from registry.operations.crossing.plans.wishes import choose_plan_fish
from registry.operations.shared.entries import FishChosen
from registry.queries.crosses.season.problem import SeasonProblem
from tests.registry.queries.crosses.season.conftest import PLAN, limit, terms, word_on_fish
from tests.support.broodstock import HALL
from tests.support.proof import PLANNING, only_those_who_may, refused

Asked = Callable[[], SeasonProblem]


def choose(*fish: str, reason: str = "the oldest line") -> None:
    choose_plan_fish(HALL, FishChosen(plan=PLAN, fish=fish, reason=reason))


def crossed(season: SeasonProblem) -> set[tuple[str, str]]:
    return set(season.numbers(best_plan(season.problem).pairs))


def test_all_chosen_females_meet_all_chosen_males_whatever_number_was_wanted(asked: Asked) -> None:
    terms(scheme="full_factorial")
    limit("incubators")
    choose("D1", "F2", "D2", "M2")
    with pytest.raises(InfeasibleError, match="relationship"):  # D1 and D2 are full sibs
        best_plan(asked().problem)
    choose("F1", "F2", "H1", "M2")
    limit("relationship")  # F2 is the mother of H1
    season = asked()
    assert (season.problem.crosses, season.problem.scheme) == (4, Scheme(2, 2))
    assert crossed(season) == {("F1", "H1"), ("F1", "M2"), ("F2", "H1"), ("F2", "M2")}
    assert season.notes == (
        "Full factorial: 2 females × 2 males make 4 crosses; the terms ask for 3, all of fish chosen.",
    )
    assert {one.reasons[0].limit for one in season.left_out} == {"not_chosen"}


def test_with_nobody_chosen_the_search_chooses_and_says_how_to(asked: Asked) -> None:
    terms(scheme="full_factorial")
    assert asked().problem.crosses == 3
    assert "nobody is chosen" in asked().notes[0]
    assert "choose them on the page “Fish”" in asked().notes[0]


def test_with_one_sex_chosen_the_search_takes_the_other(asked: Asked) -> None:
    terms(scheme="full_factorial", crosses=2)
    choose("F1")
    season = asked()
    assert season.problem.scheme == Scheme(2, 1)
    assert {dam for dam, _ in crossed(season)} == {"F1"}


def test_a_chosen_fish_that_a_limit_leaves_out_is_what_blocks_the_plan(asked: Asked) -> None:
    terms(scheme="full_factorial")
    choose("F1", "M2")
    word_on_fish("M2", "")
    choose("F1", "M1")
    with pytest.raises(InfeasibleError, match="repeat_years"):
        best_plan(asked().problem)


def test_under_any_other_scheme_a_chosen_fish_must_stand_in_the_plan(asked: Asked) -> None:
    choose("H1")
    assert "H1" in {sire for _, sire in crossed(asked())}
    assert len(asked().problem.sires) == 4


def test_a_choice_takes_the_place_of_the_one_before_in_one_entry(asked: Asked) -> None:
    choose("F1", "M2")
    kept = PlanFish.objects.current().get(fish__number="F1").pk
    choose("F1", "H1", reason="M2 has little milt")
    rows = PlanFish.objects.current().filter(stand="chosen")
    assert list(rows.order_by("pk").values_list("fish__number", flat=True)) == ["F1", "H1"]
    assert rows.get(fish__number="F1").pk == kept
    last = JournalEntry.objects.order_by("seq").last()
    assert (last.what, last.reason) == ("fish chosen", "M2 has little milt")
    choose(reason="")
    assert not rows.exists()


def test_choices_that_cannot_be(asked: Asked) -> None:
    word_on_fish("M2", "limited", 1)
    with refused("Another word stands on M2 in this plan (limited: a bad year). Clear it first."):
        choose("M2")
    with refused("Say why these fish, for whoever signs the plan."):
        choose("F1", reason=" ")
    with refused("There is no fish F9 in the register."):
        choose("F9")
    only_those_who_may(PLANNING, lambda by: choose_plan_fish(by, FishChosen(plan=PLAN, fish=("F1",), reason="so")))
