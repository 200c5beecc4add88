"""Cross plans from draft to signature, on paper, and against what was made."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from registry.models import CrossPlan, PlannedCross, PlanSignature
from registry.operations.crossing.plans.review import submit_plan
from registry.operations.crossing.spawning import record_spawning
from registry.operations.shared.entries import CrossMade, PlanSubmitted, SireShare, SpawningNight
from tests.support.broodstock import HALL, STOCK, broodstock, plan_of
from tests.support.people import ticked
from tests.support.river import CODES

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client_of):
    broodstock()
    return client_of("geneticist")


def text(answer):
    return " ".join(answer.content.decode().split())


def make(dam, *sires, family="26-01"):
    shares = tuple(SireShare(sire=sire, share=Decimal(1) / len(sires)) for sire in sires)
    cross = CrossMade(dam=dam, sires=shares, family=family)
    record_spawning(HALL, SpawningNight(number="S1", spawned_on=timezone.localdate(), crosses=(cross,)))


def test_an_empty_plan_is_drafted_with_a_free_number(desk):
    season = timezone.localdate().year
    assert f'name="number" value="{season}-P1"' in text(desk.get("/plans/draft/"))

    answer = desk.post("/plans/draft/", {"number": "LI-1", "stock": STOCK, "season": str(season)})

    assert answer.url == "/plans/LI-1/"
    assert "No pair is in this plan" in text(desk.get("/plans/LI-1/"))


def test_a_plan_number_is_not_used_twice(desk):
    plan_of(("F2", "M2"), number="LI-1")

    answer = desk.post("/plans/draft/", {"number": "li-1", "stock": STOCK, "season": "2026"})

    assert answer.status_code == 422
    assert "Plan li-1 is in the register. Take another number." in text(answer)


def test_a_plan_shows_its_pairs_with_tags_kinship_and_mean(desk):
    plan_of(("F2", "M2"), ("F1", "M2"), signed=False)

    page = text(desk.get("/plans/P1/"))

    assert all(CODES[fish] in page for fish in ("F1", "F2", "M2"))
    assert "0 of 2 crosses made" in page
    assert "A draft, not signed yet." in page


def test_the_geneticist_signs_and_the_plan_says_who_and_when(desk):
    plan_of(("F2", "M2"), signed=False)
    submit_plan(HALL, PlanSubmitted(plan="P1"))
    assert "propose that they be made" in text(desk.get("/plans/P1/sign/"))

    answer = ticked(desk, "/plans/P1/sign/", {"statement": "I propose these crosses."})

    assert answer.url == "/plans/P1/"
    page = text(desk.get("/plans/P1/"))
    today = timezone.localdate()
    assert f"geneticist, {today.day} {today:%B %Y}: “I propose these crosses.”" in page
    assert "Sign this plan" not in page


def test_a_signed_plan_is_not_changed_any_more(desk):
    plan_of(("F2", "M2"))

    for address, sent in (
        ("/plans/P1/sign/", {"statement": "again"}),
        ("/plans/P1/pair/take-out/", {"dam": "F2", "sire": "M2", "reason": "no"}),
    ):
        answer = desk.post(address, sent)
        assert answer.status_code == 422
        assert "Plan P1 is signed and is not changed any more. Draft an amendment." in text(answer)
    assert PlanSignature.objects.count() == 1


def test_an_empty_plan_is_not_signed(desk):
    plan_of(signed=False)

    answer = desk.post("/plans/P1/submit/", {"words": ""})

    assert "Plan P1 holds no pair. Put pairs in before you sign." in text(answer)


def test_a_pair_leaves_a_draft_with_a_reason(desk):
    plan_of(("F2", "M2"), ("F1", "M2"), signed=False)
    refused = desk.post("/plans/P1/pair/take-out/", {"dam": "F2", "sire": "M2", "reason": ""})
    assert "Reason is missing" in text(refused)

    desk.post("/plans/P1/pair/take-out/", {"dam": "F2", "sire": "M2", "reason": "rest her a year"})

    left = PlannedCross.objects.current().values_list("dam__number", flat=True)
    assert list(left) == ["F1"]
    out = PlannedCross.objects.get(dam__number="F2")
    assert out.withdrawn.reason == "rest her a year"


def test_what_was_made_stands_beside_what_was_planned(desk):
    plan_of(("F2", "M2"), ("F1", "M2"))
    make("F2", "M2")

    page = text(desk.get("/plans/P1/"))

    assert "1 of 2 crosses made" in page
    assert 'href="/spawnings/S1/"' in page


def test_a_pooled_cross_makes_each_of_its_planned_pairs(desk):
    plan_of(("F2", "M1"), ("F2", "M2"), ("F1", "M2"))
    make("F2", "M1", "M2")

    page = text(desk.get("/plans/P1/"))

    assert "2 of 3 crosses made" in page
    assert page.count("with pooled milt") == 2
    assert text(desk.get("/plans/P1/sheet/")).count('class="tick"') == 1
    assert 'href="/plans/P1/">plan P1</a>' in text(desk.get("/spawnings/S1/"))


def test_a_cross_of_another_season_makes_no_pair_of_this_plan(desk):
    plan_of(("F1", "M1"))  # crossed in 2010

    assert "0 of 1 cross made" in text(desk.get("/plans/P1/"))


def test_the_night_sheet_holds_what_is_left_to_make_with_tags_and_a_place_to_tick(desk):
    plan_of(("F2", "M2"), ("F1", "M2"))
    make("F2", "M2")

    page = text(desk.get("/plans/P1/sheet/"))

    assert page.count('class="tick"') == 1
    assert CODES["F1"] in page
    assert CODES["F2"] not in page


def test_a_planned_pair_leads_staff_to_its_sheet_filled_in(client_of):
    broodstock()
    plan_of(("F2", "M2"))

    assert 'href="/spawnings/record/?dam=F2&amp;sire=M2"' in text(client_of("staff").get("/plans/P1/"))
    assert 'href="/spawnings/record/?dam=F2&amp;sire=M2"' in text(client_of("staff").get("/"))


@pytest.mark.parametrize("address", ["/plans/P1/sign/", "/plans/P1/pair/take-out/", "/plans/draft/"])
def test_only_the_geneticist_writes_plans(client_of, address):
    broodstock()
    plan_of(("F2", "M2"), signed=False)

    assert client_of("staff").get(address).status_code == 403
    assert client_of("auditor").get("/plans/P1/").status_code == 200


def test_a_plan_that_there_is_not_is_not_found(desk):
    for address in ("/plans/P99/", "/plans/P99/sheet/", "/plans/P99/sign/", "/plans/P99/pair/take-out/"):
        assert desk.get(address).status_code == 404


@pytest.mark.parametrize(("asked", "found"), [("state=signed", ["P1"]), ("state=draft", ["P2"]), ("number=p2", ["P2"])])
def test_plans_are_found_by_state_and_number(desk, asked, found):
    plan_of(("F2", "M2"))
    plan_of(("F1", "M2"), number="P2", signed=False)

    table = desk.get(f"/plans/?{asked}").context["table"]

    assert [row.record.number for row in table.rows] == found


def test_list_and_plan_cost_the_same_queries_whatever_their_length(desk, django_assert_num_queries):
    plan_of(("F2", "M2"), signed=False)
    plan_of(("F2", "M2"), ("F1", "M2"), ("D1", "M2"), ("F2", "D2"), ("F1", "H1"), number="P2", signed=False)
    with CaptureQueriesContext(connection) as asked:
        desk.get("/plans/P1/")
    with django_assert_num_queries(6):
        desk.get("/plans/")
    with django_assert_num_queries(len(asked)):
        desk.get("/plans/P2/")
    assert CrossPlan.objects.count() == 2
