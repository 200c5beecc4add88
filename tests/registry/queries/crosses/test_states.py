"""Which plans bind the night: the signed ones that no amendment superseded."""

from decimal import Decimal

import pytest
from django.utils import timezone

from registry.models import CrossPlan, Role
from registry.operations.crossing.plans.drafts import amend_plan
from registry.operations.crossing.plans.review import close_plan, sign_plan, submit_plan
from registry.operations.shared.entries import PlanAmended, PlanClosed, PlanSigned, PlanSubmitted
from registry.queries.crosses.states import plans_in_force, signed_plans, stated
from tests.support.broodstock import broodstock, plan_of
from tests.support.people import person
from tests.support.river import STOCK

pytestmark = pytest.mark.django_db


def test_only_signed_plans_bind_the_night():
    broodstock()
    plan_of(("F1", "M2"))
    plan_of(("F2", "M2"), number="P2", signed=False)
    today = timezone.localdate()

    [plan] = signed_plans(STOCK, today.year)[STOCK, today.year]

    assert (plan.number, plan.signed_on, plan.pairs) == ("P1", today, {("F1", "M2"): Decimal(0)})
    assert signed_plans() == signed_plans(STOCK, today.year)
    assert signed_plans(STOCK, today.year - 1) == {}


def test_an_amendment_binds_from_its_signature_on_and_a_closed_plan_asks_for_nothing():
    broodstock()
    plan_of(("F1", "M2"))
    by, year = person(Role.GENETICIST), timezone.localdate().year

    amend_plan(by, PlanAmended(plan="P1", reason="another male"))
    assert [plan.number for plan in signed_plans(STOCK, year)[STOCK, year]] == ["P1"]
    submit_plan(by, PlanSubmitted(plan="P1-A1"))
    sign_plan(by, PlanSigned(plan="P1-A1"))
    assert [plan.number for plan in signed_plans(STOCK, year)[STOCK, year]] == ["P1-A1"]

    close_plan(by, PlanClosed(plan="P1-A1"))
    assert [plan.number for plan in signed_plans(STOCK, year)[STOCK, year]] == ["P1-A1"]
    assert not plans_in_force().exists()
    states = stated(CrossPlan.objects.all()).order_by("pk").values_list("number", "state")
    assert list(states) == [("P1", "superseded"), ("P1-A1", "closed")]
