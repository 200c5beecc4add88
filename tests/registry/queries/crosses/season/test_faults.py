"""What crosses of a plan break: each limit by its name, whoever put the crosses together.

F1 ─┬─ M1 ─┬─ F2      M2            all of them ripe, sampled, and of one stock; three jars are free
  10-1    10-2
 D1♀ D2♂  H1♂                       D1, D2 full sibs; H1 their half sib by M1
"""

import pytest

from registry.errors import Refused
from registry.models import CrossPlan, PlannedCross
from registry.operations.crossing.plans.pairs import add_pair, swap_pair, take_crosses
from registry.operations.crossing.plans.review import submit_plan
from registry.operations.crossing.spawning import record_spawning
from registry.operations.intake.ploidy import record_ploidy
from registry.operations.shared.entries import (
    CrossesTaken,
    CrossMade,
    PairAdded,
    PairSwapped,
    PairWanted,
    PlanSubmitted,
    SireShare,
    SpawningNight,
)
from registry.queries.crosses.season.faults import judge
from tests.registry.queries.crosses.season.conftest import PLAN, limit, terms, weigh, word_on_fish, word_on_pair
from tests.registry.queries.crosses.season.test_problem import TODAY
from tests.support.broodstock import HALL
from tests.support.care import ploidy
from tests.support.proof import refused
from tests.support.river import STOCK

GOOD = [("D1", "M2"), ("F1", "H1"), ("F2", "D2")]


def told(plan: CrossPlan, *pairs: tuple[str, str]) -> list[str]:
    return [one.words for one in judge(CrossPlan.objects.select_related("stock__species").get(pk=plan.pk), pairs)]


def taken(*pairs: tuple[str, str], confirmed: bool = True) -> None:
    wanted = tuple(PairWanted(dam=dam, sire=sire) for dam, sire in pairs)
    take_crosses(HALL, CrossesTaken(plan=PLAN, pairs=wanted), confirmed=confirmed)


def test_crosses_within_all_limits_break_none(plan: CrossPlan) -> None:
    assert told(plan, *GOOD) == []


def test_each_limit_that_is_broken_is_told_with_what_was_found(plan: CrossPlan) -> None:
    limit("crosses_per_sire", 1)
    limit("least_dams", 3)
    limit("incubators", 0)
    weigh("F1", 300)  # sterlet: 10,000 eggs per kg at the least, from memory (catalogue): one portion of 2,000
    word_on_fish("F2", "out")
    word_on_pair("D1", "M2", "locked")
    word_on_pair("F1", "D2", "forbidden")
    assert set(told(plan, ("F1", "D2"), ("F1", "M1"), ("F2", "M1"))) == {
        "M1 stands in 2 crosses; the limit “crosses per male” is 1.",
        "The plan uses 2 females; the limit “females used” asks for 3 at least.",
        "There is room for 0 crosses in the incubators, not for 3.",
        "F1 stands in 2 crosses and has 1 portions of eggs.",
        "F2 is left out of this plan: a bad year.",
        "D1 × M2 is locked into the plan and is not in it.",
        "F1 × D2: relationship 0.5000 (kinship 0.2500) is not below 0.25, the limit on the closeness of a pair.",
        "F1 × D2 is forbidden in plan P1: a good year.",
        "F1 × M1 was crossed before.",
        "F2 × M1 was crossed before.",
    }


def test_a_lock_is_no_leave_from_a_limit(plan: CrossPlan) -> None:
    word_on_pair("D1", "D2", "locked")
    assert [one[:9] for one in told(plan, ("D1", "D2"), *GOOD[1:])] == ["D1 × D2: "]


def test_what_was_made_already_is_no_fault(plan: CrossPlan) -> None:
    night = CrossMade(dam="F1", sires=(SireShare(sire="H1"),), family="now-1")
    record_spawning(HALL, SpawningNight(spawned_on=TODAY(), stock=STOCK, crosses=(night,)))
    assert told(plan, *GOOD) == []


def test_a_scheme_broken_by_hand_is_told_at_once_and_keeps_the_plan_from_being_handed_in(plan: CrossPlan) -> None:
    terms(scheme="single_pair")
    taken(*GOOD)
    swap = PairSwapped(plan=PLAN, dam="F2", sire="D2", pair=PairWanted(dam="F2", sire="M2"))
    sentence = "M2 has 2 mates where the scheme “single pair” asks for 1 or none."
    with refused(sentence):
        swap_pair(HALL, swap, confirmed=False)
    swap_pair(HALL, swap)
    with refused(f"{sentence} Change the crosses, or choose another scheme in the terms."):
        submit_plan(HALL, PlanSubmitted(plan=PLAN), confirmed=True)
    terms(scheme="free")
    submit_plan(HALL, PlanSubmitted(plan=PLAN), confirmed=False)


def test_a_growing_draft_is_not_told_that_it_is_short(plan: CrossPlan) -> None:
    limit("least_sires", 3)
    taken(*GOOD[:1], confirmed=False)
    limit("crosses_per_sire", 1)
    with pytest.raises(Refused, match="M2 stands in 2 crosses; the limit “crosses per male” is 1") as caught:
        add_pair(HALL, PairAdded(plan=PLAN, pair=PairWanted(dam="F1", sire="M2")), confirmed=False)
    assert [one.code for one in caught.value.objections] == ["limit_crosses_per_sire"]


@pytest.mark.parametrize(("key", "pair"), [("repeat_years", ("F1", "M1")), ("relationship", ("D1", "H1"))])
def test_no_confirmation_passes_a_limit_that_is_not_relaxed(plan: CrossPlan, key: str, pair: tuple[str, str]) -> None:
    entry = PairAdded(plan=PLAN, pair=PairWanted(dam=pair[0], sire=pair[1]))
    with refused("with a reason, or change the crosses."):
        add_pair(HALL, entry, confirmed=True)
    limit(key)
    add_pair(HALL, entry, confirmed=False)
    assert PlannedCross.objects.current().get().dam.number == pair[0]


def test_odd_ploidy_is_left_out_and_what_is_unlike_the_species_is_told(plan: CrossPlan, asked) -> None:
    record_ploidy(HALL, ploidy("M2", 3))
    record_ploidy(HALL, ploidy("H1", 4))
    sentence = "M2 was found to have 3 chromosome sets: odd ploidy never crosses."
    assert told(plan, *GOOD) == [sentence]
    assert "M2" not in asked().candidates
    assert "H1 was found to have 4 chromosome sets; its species has 2, in function." in asked().notes
    limit("even_ploidy")
    assert told(plan, *GOOD) == []
