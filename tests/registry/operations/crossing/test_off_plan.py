"""A cross made outside the signed plan: with its reason, and read by whoever answers for the plan."""

from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import Cross, OffPlanSeen
from registry.operations.crossing.off_plan import acknowledge_off_plan
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.review import sign_plan, submit_plan
from registry.operations.crossing.spawning import record_spawning
from registry.operations.shared.entries import (
    CrossMade,
    OffPlanAcknowledged,
    PairWanted,
    PlanDraft,
    PlanSigned,
    PlanSubmitted,
    SireShare,
    SpawningNight,
)
from registry.permissions import Actor
from tests.support.broodstock import lift, put_in
from tests.support.proof import last, only_those_who_may, refused, told
from tests.support.river import STOCK

ACKNOWLEDGING = ("acknowledge crosses made outside the plan", "geneticist, manager")
SEEN = OffPlanAcknowledged(family="11-1", words="rightly so")


def night(reason: str = "") -> SpawningNight:
    made = CrossMade(dam="F1", sires=(SireShare(sire="M2"),), family="11-1", off_plan_reason=reason)
    return SpawningNight(spawned_on=date(2011, 5, 2), crosses=(made,))


@pytest.fixture
def signed(river: SimpleNamespace, geneticist: Actor) -> None:
    """Sign a plan that holds F2 × M2 alone."""
    draft_plan(geneticist, PlanDraft(number="P11", stock=STOCK, season=2011))
    put_in("P11", PairWanted(dam="F2", sire="M2"))
    lift("P11")
    submit_plan(geneticist, PlanSubmitted(plan="P11"))
    sign_plan(geneticist, PlanSigned(plan="P11"))


@pytest.mark.usefixtures("signed")
def test_no_face_enters_a_cross_outside_the_plan_without_its_reason(staff: Actor) -> None:
    with refused("F1 × M2: not in the signed plan P11 of 2011. Say in a few words why it is made all the same"):
        record_spawning(staff, night())
    record_spawning(staff, night("F2 gave no eggs"))
    assert Cross.objects.get(family__number="11-1").off_plan_reason == "F2 gave no eggs"


@pytest.mark.usefixtures("signed")
def test_it_is_acknowledged_once(staff: Actor, manager: Actor) -> None:
    record_spawning(staff, night("F2 gave no eggs"))
    acknowledge_off_plan(manager, SEEN)
    assert told()[:3] == ("manager", "off-plan cross seen", "spawning S11-05-02-1")
    assert (last().reason, OffPlanSeen.objects.get().cross.family.number) == ("rightly so", "11-1")
    with refused("The cross of family 11-1 was acknowledged already."):
        acknowledge_off_plan(manager, SEEN)


def test_what_cannot_be_acknowledged(river: SimpleNamespace, manager: Actor) -> None:
    with refused("No cross of family 10-1 was made outside a plan."):
        acknowledge_off_plan(manager, OffPlanAcknowledged(family="10-1", words="seen"))
    with refused("Write what you make of it, in a few words."):
        acknowledge_off_plan(manager, OffPlanAcknowledged(family="10-1", words=" "))


@pytest.mark.usefixtures("signed")
def test_who_may_acknowledge(staff: Actor) -> None:
    record_spawning(staff, night("F2 gave no eggs"))
    only_those_who_may(ACKNOWLEDGING, lambda by: acknowledge_off_plan(by, SEEN))
