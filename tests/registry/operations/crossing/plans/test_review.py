"""The way of a plan: handed in, returned, signed, amended, superseded, closed; and what each state refuses."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from registry.models import CrossPlan, PlanRemark, PlanSignature, Role
from registry.operations.catalogue import FigureSet, set_figure
from registry.operations.crossing.plans.drafts import amend_plan, draft_plan
from registry.operations.crossing.plans.pairs import add_pair, swap_pair, take_crosses, take_pair_out
from registry.operations.crossing.plans.review import (
    close_plan,
    remark,
    return_plan,
    sign_plan,
    submit_plan,
    tell_not_made,
)
from registry.operations.crossing.plans.wishes import set_limit, set_plan_fish, set_plan_pair, set_terms
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import record_departure
from registry.operations.shared.entries import (
    CrossesTaken,
    CrossMade,
    Day,
    Departure,
    FishStand,
    LimitSet,
    NotMade,
    PairAdded,
    PairStand,
    PairSwapped,
    PairTakenOut,
    PairWanted,
    PlanAmended,
    PlanClosed,
    PlanDraft,
    PlanReturned,
    PlanSigned,
    PlanSubmitted,
    RemarkMade,
    SireShare,
    SpawningNight,
    TermsSet,
)
from registry.permissions import Actor
from registry.queries.crosses.states import chain_of, facts_of, plans_in_force, standing_plans
from registry.queries.crosses.wishes import wishes_of
from tests.support.broodstock import lift, put_in, young
from tests.support.proof import ENTERING, PLANNING, SIGNING, last, only_those_who_may, refused, told
from tests.support.river import STOCK

FIRST, SECOND = PairWanted(dam="F1", sire="M2"), PairWanted(dam="F2", sire="M1")
AMENDED = PlanAmended(plan="P11", reason="F1 is not ripe")


@pytest.fixture
def plan(river: SimpleNamespace, geneticist: Actor) -> CrossPlan:
    """Return a draft of two crosses."""
    drafted = draft_plan(geneticist, PlanDraft(number="P11", stock=STOCK, season=2011))
    put_in("P11", FIRST, SECOND, by=geneticist)
    lift("P11")
    return drafted


def signed(by: Actor, number: str = "P11") -> PlanSignature:
    submit_plan(by, PlanSubmitted(plan=number))
    return sign_plan(by, PlanSigned(plan=number))


def another() -> Actor:
    user = User.objects.create_user("second geneticist")
    return Actor(user.pk, user.username, frozenset({Role.GENETICIST}), "test")


def nobody_signs_alone(administrator: Actor) -> None:
    figure = {"key": "signer_not_sole_author", "unit": "yes or no", "meaning": "1: nobody signs alone."}
    since = date(2011, 1, 1)
    set_figure(administrator, FigureSet(**figure, value=Decimal(1), source="House rule 4.", in_force_from=since))


def state(number: str = "P11") -> str:
    return facts_of(CrossPlan.objects.get(number=number)).state


CHANGES: dict[str, Callable[[Actor], object]] = {
    "add": lambda by: add_pair(by, PairAdded(plan="P11", pair=PairWanted(dam="F1", sire="M1"))),
    "take out": lambda by: take_pair_out(by, PairTakenOut(plan="P11", dam="F1", sire="M2")),
    "swap": lambda by: swap_pair(by, PairSwapped(plan="P11", dam="F1", sire="M2", pair=FIRST)),
    "take": lambda by: take_crosses(by, CrossesTaken(plan="P11", pairs=(FIRST,))),
    "terms": lambda by: set_terms(by, TermsSet(plan="P11", crosses=2)),
    "limit": lambda by: set_limit(by, LimitSet(plan="P11", key="tissue", reason="taken later")),
    "fish": lambda by: set_plan_fish(by, FishStand(plan="P11", fish="F1")),
    "pair": lambda by: set_plan_pair(by, PairStand(plan="P11", dam="F1", sire="M1", stand="locked")),
    "submit": lambda by: submit_plan(by, PlanSubmitted(plan="P11")),
}


def test_a_plan_goes_from_draft_to_closed(plan: CrossPlan, geneticist: Actor) -> None:
    assert state() == "draft"
    submit_plan(geneticist, PlanSubmitted(plan="P11", words="ready for the spring"))
    assert (state(), told()[1], last().reason) == ("under review", "cross plan handed in", "ready for the spring")
    return_plan(geneticist, PlanReturned(plan="P11", words="use M2 once more"))
    assert (state(), told()[1], last().reason) == ("draft", "cross plan returned", "use M2 once more")
    row = signed(geneticist)
    assert (state(), row.statement[:13], row.signed_on) == ("signed", "I have looked", timezone.localdate())
    close_plan(geneticist, PlanClosed(plan="P11", words="the season is over"))
    assert (state(), told()[1]) == ("closed", "cross plan closed")
    assert list(standing_plans()) == [plan]
    assert not plans_in_force().exists()


@pytest.mark.parametrize("change", CHANGES)
def test_nothing_changes_a_plan_that_is_no_draft(plan: CrossPlan, geneticist: Actor, change: str) -> None:
    submit_plan(geneticist, PlanSubmitted(plan="P11"))
    with refused("Plan P11 is under review and is not changed meanwhile. Return it with a reason first."):
        CHANGES[change](geneticist)
    sign_plan(geneticist, PlanSigned(plan="P11"))
    with refused("Plan P11 is signed and is not changed any more. Draft an amendment."):
        CHANGES[change](geneticist)
    close_plan(geneticist, PlanClosed(plan="P11"))
    with refused("Plan P11 is closed. Draft a plan for the next season."):
        CHANGES[change](geneticist)


def test_only_a_plan_under_review_is_signed_or_returned(plan: CrossPlan, geneticist: Actor) -> None:
    with refused("Plan P11 is a draft. Hand it in for review first."):
        sign_plan(geneticist, PlanSigned(plan="P11"))
    with refused("Plan P11 is a draft. Hand it in for review first."):
        return_plan(geneticist, PlanReturned(plan="P11", words="why"))
    submit_plan(geneticist, PlanSubmitted(plan="P11"))
    with refused("Say what is to change before the plan is handed in again."):
        return_plan(geneticist, PlanReturned(plan="P11", words=" "))
    sign_plan(geneticist, PlanSigned(plan="P11"))
    with refused("Plan P11 is signed and is not changed any more. Draft an amendment."):
        sign_plan(geneticist, PlanSigned(plan="P11"))


def test_what_is_handed_in_and_signed_can_still_be_made(plan: CrossPlan, geneticist: Actor, staff: Actor) -> None:
    draft_plan(geneticist, PlanDraft(number="P12", stock=STOCK, season=2011))
    with refused("Plan P12 holds no pair. Put pairs in before you sign."):
        submit_plan(geneticist, PlanSubmitted(plan="P12"))
    submit_plan(geneticist, PlanSubmitted(plan="P11"))
    record_departure(staff, Departure(fish="F1", left="died", left_on=Day(date(2011, 1, 2))))
    with refused("F1 died, and no dose of its frozen milt is left. Change the crosses."):
        sign_plan(geneticist, PlanSigned(plan="P11"))


def test_a_plan_is_handed_in_only_within_its_limits(plan: CrossPlan, geneticist: Actor) -> None:
    add_pair(geneticist, PairAdded(plan="P11", pair=PairWanted(dam="F1", sire="M1")))
    set_limit(geneticist, LimitSet(plan="P11", key="crosses_per_dam", value=Decimal(1), reason="few eggs"))
    set_limit(geneticist, LimitSet(plan="P11", key="least_sires", value=Decimal(3), reason="as agreed"))
    set_plan_fish(geneticist, FishStand(plan="P11", fish="M1", stand="limited", most=1, reason="little milt"))
    set_plan_pair(geneticist, PairStand(plan="P11", dam="F2", sire="M2", stand="locked"))
    with refused(
        "F1 stands in 2 crosses; the limit “crosses per female” is 1.",
        "M1 stands in 2 crosses; it is limited to 1: little milt",
        "The plan uses 2 males; the limit “males used” asks for 3 at least.",
        "F2 × M2 is locked into the plan and is not in it.",
    ):
        submit_plan(geneticist, PlanSubmitted(plan="P11"))


def test_kinship_is_looked_up_anew_when_a_plan_is_handed_in(river: SimpleNamespace, geneticist: Actor) -> None:
    # F1 and M1 are the parents of 10-1, so a daughter is as close to M1 as full sibs are (Falconer & Mackay 1996).
    young("D1", "F", "10-1")
    believed_unrelated = PairWanted(dam="D1", sire="M1")
    draft_plan(geneticist, PlanDraft(number="P11", stock=STOCK, season=2012))
    put_in("P11", believed_unrelated)
    with refused("D1 × M1: relationship 0.5000 (kinship 0.2500) is not below 0.25"):
        submit_plan(geneticist, PlanSubmitted(plan="P11"))


def test_where_the_rule_says_so_nobody_signs_a_plan_that_they_alone_wrote(
    plan: CrossPlan, geneticist: Actor, administrator: Actor
) -> None:
    nobody_signs_alone(administrator)
    submit_plan(geneticist, PlanSubmitted(plan="P11"))
    with refused("You alone drafted this plan; the facility's rule asks for another geneticist's signature."):
        sign_plan(geneticist, PlanSigned(plan="P11"))
    sign_plan(another(), PlanSigned(plan="P11"))
    assert PlanSignature.objects.get().plan == plan


def test_a_plan_written_by_two_is_signed_by_either(plan: CrossPlan, geneticist: Actor, administrator: Actor) -> None:
    nobody_signs_alone(administrator)
    add_pair(another(), PairAdded(plan="P11", pair=PairWanted(dam="F2", sire="M2")))
    assert signed(geneticist).user.username == "geneticist"


def test_an_amendment_begins_with_all_that_the_plan_holds(plan: CrossPlan, geneticist: Actor) -> None:
    set_terms(geneticist, TermsSet(plan="P11", crosses=2, price=Decimal("0.1")))
    set_limit(geneticist, LimitSet(plan="P11", key="tissue", reason="taken at stripping"))
    set_plan_pair(geneticist, PairStand(plan="P11", dam="F1", sire="M2", stand="locked"))
    signed(geneticist)
    amendment = amend_plan(geneticist, AMENDED)
    assert (amendment.number, amendment.amendment, amendment.amends) == ("P11-A1", 1, plan)
    assert list(amendment.planned.current().values_list("dam__number", flat=True)) == ["F1", "F2"]
    wishes = wishes_of(amendment)
    assert (wishes.terms.crosses, wishes.limits.on("tissue"), set(wishes.pairs)) == (2, False, {("F1", "M2")})
    assert (state("P11-A1"), state()) == ("draft", "signed")


def test_a_signed_amendment_supersedes(plan: CrossPlan, geneticist: Actor) -> None:
    signed(geneticist)
    amend_plan(geneticist, AMENDED)
    assert list(plans_in_force()) == [plan]
    take_pair_out(geneticist, PairTakenOut(plan="P11-A1", dam="F1", sire="M2"))
    signed(geneticist, "P11-A1")
    amend_plan(geneticist, PlanAmended(plan="P11-A1", reason="M1 died"))
    assert [one.number for one in standing_plans()] == ["P11-A1"]
    assert [(one.number, one.state) for one in chain_of(plan)] == [
        ("P11", "superseded"), ("P11-A1", "signed"), ("P11-A2", "draft"),
    ]  # fmt: skip
    with refused("Plan P11 was superseded by plan P11-A1. Amend that one."):
        add_pair(geneticist, PairAdded(plan="P11", pair=FIRST))


def test_what_cannot_be_amended(plan: CrossPlan, geneticist: Actor) -> None:
    with refused("Plan P11 is a draft: change it as it is."):
        amend_plan(geneticist, AMENDED)
    submit_plan(geneticist, PlanSubmitted(plan="P11"))
    with refused("Plan P11 is under review: return it with a reason and change it."):
        amend_plan(geneticist, AMENDED)
    sign_plan(geneticist, PlanSigned(plan="P11"))
    with refused("Say why plan P11 is to change."):
        amend_plan(geneticist, PlanAmended(plan="P11", reason=""))
    amend_plan(geneticist, AMENDED)
    with refused("Amendment P11-A1 of plan P11 is being drafted. Go on with that one."):
        amend_plan(geneticist, AMENDED)
    with refused("Amendment P11-A1 of plan P11 is being drafted. Sign it or close it first."):
        close_plan(geneticist, PlanClosed(plan="P11"))
    with refused("Plan P11-A1 was never signed: say why nobody goes on with it."):
        close_plan(geneticist, PlanClosed(plan="P11-A1"))
    close_plan(geneticist, PlanClosed(plan="P11-A1", words="F1 ripened after all"))
    assert amend_plan(geneticist, AMENDED).number == "P11-A2"


def test_closing_asks_about_crosses_of_which_nobody_said_anything(plan: CrossPlan, geneticist: Actor) -> None:
    signed(geneticist)
    with refused("Not made, and nobody said why: F1 × M2, F2 × M1. Say it first, if you know."):
        close_plan(geneticist, PlanClosed(plan="P11"), confirmed=False)
    tell_not_made(geneticist, NotMade(plan="P11", dam="F1", sire="M2", reason="no eggs"))
    tell_not_made(geneticist, NotMade(plan="P11", dam="F2", sire="M1", reason="no milt"))
    close_plan(geneticist, PlanClosed(plan="P11"), confirmed=False)


def test_why_a_cross_was_not_made(plan: CrossPlan, geneticist: Actor, staff: Actor) -> None:
    told_of = NotMade(plan="P11", dam="F1", sire="M2", reason="no eggs")
    with refused("Plan P11 is not in force: nothing of it was to be made."):
        tell_not_made(staff, told_of)
    signed(geneticist)
    tell_not_made(staff, told_of)
    assert (told()[1], last().reason) == ("told why not made", "F1 × M2: no eggs")
    tell_not_made(staff, NotMade(plan="P11", dam="F1", sire="M2"))
    assert told()[1] == "reason taken back"
    with refused("Say why F1 × M2 was not made."):
        tell_not_made(staff, NotMade(plan="P11", dam="F1", sire="M2"))
    with refused("F1 × M1 is not in plan P11."):
        tell_not_made(staff, NotMade(plan="P11", dam="F1", sire="M1", reason="no milt"))
    night = CrossMade(dam="F1", sires=(SireShare(sire="M2"),), family="11-1")
    record_spawning(staff, SpawningNight(spawned_on=date(2011, 5, 2), crosses=(night,)))
    with refused("F1 × M2 was made. Look at its spawning."):
        tell_not_made(staff, told_of)


def test_remarks_are_made_in_any_state(plan: CrossPlan, geneticist: Actor, staff: Actor) -> None:
    remark(geneticist, RemarkMade(plan="P11", words="Mind the incubators."))
    signed(geneticist)
    remark(staff, RemarkMade(plan="P11", words="She is thin.", dam="f1", sire="M2"))
    assert (told()[1], last().reason) == ("remark made", "F1 × M2: She is thin.")
    assert PlanRemark.objects.order_by("pk").values_list("dam__number", "words")[1] == ("F1", "She is thin.")
    with refused("The remark is empty. Write it."):
        remark(staff, RemarkMade(plan="P11", words=""))
    with refused("A remark on a cross names both fish. Name the other one too."):
        remark(staff, RemarkMade(plan="P11", words="thin", dam="F1"))
    with refused("There is no fish F9 in the register."):
        remark(staff, RemarkMade(plan="P11", words="thin", dam="F9", sire="M2"))


def test_who_may_do_what_on_the_way_of_a_plan(plan: CrossPlan, geneticist: Actor) -> None:
    only_those_who_may(PLANNING, lambda by: submit_plan(by, PlanSubmitted(plan="P11")))
    only_those_who_may(ENTERING, lambda by: remark(by, RemarkMade(plan="P11", words="seen")))
    submit_plan(geneticist, PlanSubmitted(plan="P11"))
    only_those_who_may(SIGNING, lambda by: return_plan(by, PlanReturned(plan="P11", words="not yet")))
    only_those_who_may(SIGNING, lambda by: sign_plan(by, PlanSigned(plan="P11")))
    sign_plan(geneticist, PlanSigned(plan="P11"))
    only_those_who_may(PLANNING, lambda by: amend_plan(by, AMENDED))
    only_those_who_may(SIGNING, lambda by: close_plan(by, PlanClosed(plan="P11")))
    only_those_who_may(ENTERING, lambda by: tell_not_made(by, NotMade(plan="P11", dam="F1", sire="M2", reason="no")))
