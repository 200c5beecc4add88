"""What is asked of a plan: terms, limits with reasons, the geneticist's word on fish and pairs."""

from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import CrossPlan, PlanLimit
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.pairs import add_pair
from registry.operations.crossing.plans.wishes import (
    restore_limit,
    set_limit,
    set_plan_fish,
    set_plan_pair,
    set_terms,
)
from registry.operations.shared.entries import (
    FishStand,
    LimitRestored,
    LimitSet,
    PairAdded,
    PairStand,
    PairWanted,
    PlanDraft,
    TermsSet,
)
from registry.permissions import Actor
from registry.queries.crosses.wishes import wishes_of
from tests.support.broodstock import lift, young
from tests.support.proof import PLANNING, last, only_those_who_may, refused, told
from tests.support.river import STOCK

RELAXED = LimitSet(plan="P11", key="relationship", value=Decimal("0.75"), reason="the last two fish of the line")


@pytest.fixture
def plan(river: SimpleNamespace, geneticist: Actor) -> CrossPlan:
    """Return an empty draft."""
    return draft_plan(geneticist, PlanDraft(number="P11", stock=STOCK, season=2011))


def test_a_new_plan_asks_for_what_the_policy_says(plan: CrossPlan) -> None:
    wishes = wishes_of(plan)
    assert wishes.terms == TermsSet(plan="P11", crosses=10)
    assert wishes.limits.figure("relationship") == Decimal("0.25")
    assert wishes.limits.on("same_stock")
    assert (wishes.fish, wishes.pairs, wishes.changed) == ({}, {}, 0)


def test_later_terms_take_the_place_of_earlier_ones(plan: CrossPlan, geneticist: Actor) -> None:
    set_terms(geneticist, TermsSet(plan="P11", crosses=6))
    later = TermsSet(
        plan="P11", crosses=8, scheme="nested", mates=2, price=Decimal("0.5"), weight_of_young=Decimal("0.25"),
        count_made=False,
    )  # fmt: skip
    set_terms(geneticist, later)
    assert wishes_of(plan).terms == later
    assert plan.terms.count() == 2
    assert told()[1:3] == ("terms set", "plan P11")
    assert wishes_of(plan).changed == last().seq


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"crosses": 0}, "A plan of 0 crosses cannot be made. Write a number from 1 to 1000."),
        ({"scheme": "lottery"}, "There is no scheme “lottery”. Choose one."),
        ({"scheme": "nested"}, "The scheme “nested” needs the number of mates a fish. Write it."),
        ({"mates": 2}, "The scheme “free” knows no number of mates. Leave it empty."),
        ({"scheme": "nested", "mates": 9}, "9 mates a fish cannot be among 6 crosses. Write 1 to 6."),
        ({"price": Decimal(-1)}, "-1 is no price on inbreeding. Write a figure from 0 to 100."),
        ({"weight_of_young": Decimal(2)}, "2 is no share of the young. Write a figure over 0 up to 1"),
        (
            {"weight_of_young": Decimal("0.5"), "count_living": False},
            "A share of the young counts only together with the living stock.",
        ),
    ],
)
def test_terms_that_cannot_be(plan: CrossPlan, geneticist: Actor, changes: dict[str, object], sentence: str) -> None:
    with refused(sentence):
        set_terms(geneticist, TermsSet(**{"plan": "P11", "crosses": 6, **changes}))


def test_a_limit_is_relaxed_with_a_reason_and_restored(plan: CrossPlan, geneticist: Actor) -> None:
    set_limit(geneticist, RELAXED)
    limit = wishes_of(plan).limits.all["relationship"]
    assert (limit.value, limit.default, limit.relaxed) == (Decimal("0.75"), Decimal("0.25"), True)
    assert limit.reason == "the last two fish of the line"
    assert last().reason == "closeness of a pair: the last two fish of the line"
    lift("P11")
    young("D1", "F", "10-1")
    add_pair(geneticist, PairAdded(plan="P11", pair=PairWanted(dam="D1", sire="M1")))
    restore_limit(geneticist, LimitRestored(plan="P11", key="relationship"))
    assert not wishes_of(plan).limits.all["relationship"].relaxed
    assert not PlanLimit.objects.current().filter(key="relationship").exists()
    assert wishes_of(plan).changed == last().seq
    with refused("The limit “closeness of a pair” has its default in this plan."):
        restore_limit(geneticist, LimitRestored(plan="P11", key="relationship"))


def test_limits_that_guard_what_the_stock_is_come_first_among_the_relaxed(plan: CrossPlan, geneticist: Actor) -> None:
    set_limit(geneticist, RELAXED)
    set_limit(geneticist, LimitSet(plan="P11", key="same_stock", reason="the river's other run is gone"))
    relaxed = wishes_of(plan).limits.relaxed()
    assert [(one.limit.key, one.limit.identity) for one in relaxed] == [("same_stock", True), ("relationship", False)]
    assert told()[1:3] == ("limit lifted", "plan P11")


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"reason": " "}, "The limit “closeness of a pair” is set off from its default only with a reason. Write it."),
        ({"key": "luck"}, "There is no limit “luck”. Choose one."),
        ({"value": Decimal("1.5")}, "1.5 is no relationship: full sibs have 0.5."),
        ({"key": "least_dams", "value": Decimal(-1)}, "-1 is no figure for the limit “females used”."),
        ({"key": "crosses_per_dam", "value": Decimal("2.5")}, "is counted in whole crosses, not 2.5."),
        ({"key": "tissue", "value": Decimal(1)}, "The limit “tissue sample” has no figure: lift it, or restore it"),
        ({"key": "milt_doses", "value": Decimal(0)}, "The limit “milt doses per cross” cannot be 0."),
        ({"reason": "x" * 401}, "This is 401 characters long; at most 400 fit. Shorten it."),
    ],
)
def test_limits_that_cannot_be(plan: CrossPlan, geneticist: Actor, changes: dict[str, object], sentence: str) -> None:
    wanted = {"plan": "P11", "key": "relationship", "value": Decimal("0.3"), "reason": "few fish", **changes}
    with refused(sentence):
        set_limit(geneticist, LimitSet(**wanted))


def test_a_fish_is_left_out_limited_and_cleared(plan: CrossPlan, geneticist: Actor) -> None:
    limited = FishStand(plan="P11", fish="F1", stand="limited", most=2, reason="small")
    set_plan_fish(geneticist, limited)
    set_plan_fish(geneticist, FishStand(plan="P11", fish="f2", stand="out", reason="wounded"))
    assert wishes_of(plan).fish["F1"] == limited
    assert wishes_of(plan).fish["F2"].stand == "out"
    assert (told()[1], last().reason) == ("fish out", "F2: wounded")
    set_plan_fish(geneticist, FishStand(plan="P11", fish="F2"))
    assert set(wishes_of(plan).fish) == {"F1"}


def test_a_pair_is_locked_forbidden_and_cleared(plan: CrossPlan, geneticist: Actor) -> None:
    set_plan_pair(geneticist, PairStand(plan="P11", dam="F1", sire="M1", stand="locked"))
    assert wishes_of(plan).pairs["F1", "M1"].stand == "locked"
    set_plan_pair(geneticist, PairStand(plan="P11", dam="F1", sire="M1", stand="forbidden", reason="full tanks"))
    assert wishes_of(plan).pairs["F1", "M1"].reason == "full tanks"
    set_plan_pair(geneticist, PairStand(plan="P11", dam="F1", sire="M1"))
    assert wishes_of(plan).pairs == {}
    assert told()[1] == "pair cleared"


def test_words_on_fish_and_pairs_that_cannot_be(plan: CrossPlan, geneticist: Actor) -> None:
    with refused("F1: say why, in a few words, for whoever reads the plan later."):
        set_plan_fish(geneticist, FishStand(plan="P11", fish="F1", stand="out"))
    with refused("F1 is to be used a limited number of times: write how many crosses at most."):
        set_plan_fish(geneticist, FishStand(plan="P11", fish="F1", stand="limited", reason="small"))
    with refused("F1: a number of crosses goes with “limited” only. Leave it empty."):
        set_plan_fish(geneticist, FishStand(plan="P11", fish="F1", stand="out", most=2, reason="small"))
    with refused("There is no fish F9 in the register."):
        set_plan_fish(geneticist, FishStand(plan="P11", fish="F9", stand="out", reason="small"))
    with refused("F1 × M1: say why it is forbidden."):
        set_plan_pair(geneticist, PairStand(plan="P11", dam="F1", sire="M1", stand="forbidden"))
    with refused("“perhaps” is no stand of a pair. Choose one."):
        set_plan_pair(geneticist, PairStand(plan="P11", dam="F1", sire="M1", stand="perhaps"))
    with refused("There is no cross plan P99."):
        set_plan_pair(geneticist, PairStand(plan="P99", dam="F1", sire="M1", stand="locked"))


def test_who_may_say_what_is_asked_of_a_plan(plan: CrossPlan, geneticist: Actor) -> None:
    only_those_who_may(PLANNING, lambda by: set_terms(by, TermsSet(plan="P11", crosses=6)))
    only_those_who_may(PLANNING, lambda by: set_limit(by, RELAXED))
    only_those_who_may(PLANNING, lambda by: set_plan_fish(by, FishStand(plan="P11", fish="F1")))
    only_those_who_may(PLANNING, lambda by: set_plan_pair(by, PairStand(plan="P11", dam="F1", sire="M1")))
    set_limit(geneticist, RELAXED)
    only_those_who_may(PLANNING, lambda by: restore_limit(by, LimitRestored(plan="P11", key="relationship")))
