"""Pairs: ranked for the geneticist, refused with reasons, ticked into a draft plan."""

import pytest
from django.utils import timezone

from registry.models import CrossPlan, Fish, PlannedCross
from registry.operations.fish import record_departure
from registry.operations.shared.entries import Day, Departure
from tests.support.broodstock import HALL, STOCK, broodstock, check, freeze_milt, plan_of, young

pytestmark = pytest.mark.django_db
PAGE = f"/pairs/?stock={STOCK.replace(' ', '+')}"


@pytest.fixture
def desk(client_of):
    """The geneticist's desk, in a hatchery whose fish are ripe."""
    broodstock()
    return client_of("geneticist")


def text(answer):
    return " ".join(answer.content.decode().split())


def box(dam, sire):
    keys = dict(Fish.objects.filter(number__in=[dam, sire]).values_list("number", "pk"))
    return f"{keys[dam]}-{keys[sire]}"


def rows(answer):
    return [(row.record["dam"], row.record["sire"]) for row in answer.context["table"].rows]


def test_the_pairs_stand_in_order_with_kinship_and_expected_inbreeding(desk):
    answer = desk.get(PAGE)

    assert rows(answer)[0] == ("F2", "M2")
    assert len(rows(answer)) == 7
    assert "Place 1 of 7: its family" in text(answer)
    assert "as if 100 of its young lived beside the 7 fish of the stock" in text(answer)


def test_refused_pairs_are_one_step_away_with_the_reason(desk):
    assert 'href="/pairs/refused/?stock=Lower+Isendre"' in text(desk.get(PAGE))

    answer = desk.get(PAGE.replace("/pairs/", "/pairs/refused/"))

    assert ("D1", "H1") in rows(answer)
    assert "kinship 0.125 is not below the policy&#x27;s limit of 0.125; they are as close as half sibs" in text(answer)


def test_fish_left_out_are_one_step_away_with_the_reason(desk):
    check("F2", "VI", days_ago=1)

    page = text(desk.get(PAGE.replace("/pairs/", "/pairs/left-out/")))

    assert "<strong>F2</strong></a> stage VI on" in page


def test_all_mature_candidates_are_shown_only_when_asked_for(desk):
    young("D3", "F", "10-1")

    assert ("D3", "M2") not in rows(desk.get(PAGE))
    assert ("D3", "M2") in rows(desk.get(f"{PAGE}&beyond=on"))


def test_a_dead_male_stands_as_frozen_milt(desk):
    freeze_milt("M2", doses=4)
    record_departure(HALL, Departure(fish="M2", left="died", left_on=Day(timezone.localdate())))

    answer = desk.get(PAGE)

    assert ("F2", "M2") in rows(answer)
    assert "4 doses of frozen milt" in text(answer)


def test_ticked_pairs_become_a_new_plan(desk):
    answer = desk.post(PAGE, {"pair": [box("F2", "M2"), box("D1", "M2")], "new_number": "LI-1"})

    assert answer.url == "/plans/LI-1/"
    plan = CrossPlan.objects.get(number="LI-1")
    assert (plan.stock.name, plan.season) == (STOCK, timezone.localdate().year)
    assert set(plan.planned.values_list("dam__number", "sire__number")) == {("F2", "M2"), ("D1", "M2")}


def test_ticked_pairs_join_a_draft_with_the_kinship_of_today(desk):
    plan_of(("F2", "M2"), signed=False)

    desk.post(PAGE, {"pair": [box("D1", "D2")], "plan": "P1"})
    assert PlannedCross.objects.count() == 1, "full sibs are too close for a plan, whatever is sent"
    desk.post(PAGE, {"pair": [box("D1", "M2")], "plan": "P1"})

    assert set(PlannedCross.objects.values_list("dam__number", "kinship")) == {("F2", 0), ("D1", 0)}


def test_if_one_ticked_pair_is_refused_none_is_planned_and_the_ticks_stay(desk):
    plan_of(("F2", "M2"), signed=False)

    answer = desk.post(PAGE, {"pair": [box("D1", "M2"), box("F2", "M2")], "plan": "P1"})

    assert answer.status_code == 422
    assert "F2 × M2 is in plan P1 already." in text(answer)
    assert PlannedCross.objects.count() == 1
    assert f'value="{box("D1", "M2")}" aria-label="Take D1 × M2" checked' in text(answer)


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"new_number": "LI-1"}, "Tick at least one pair"),
        ({"pair": ["7-x", "8"], "new_number": "LI-1"}, "Tick at least one pair"),
        ({"pair": True, "new_number": ""}, "The number of the new plan is missing"),
        ({"pair": True, "plan": "P99"}, "P99"),
    ],
)
def test_what_cannot_be_planned_is_said(desk, sent, words):
    if sent.get("pair") is True:
        sent = sent | {"pair": [box("F2", "M2")]}

    answer = desk.post(PAGE, sent)

    assert answer.status_code == 422
    assert words in text(answer)
    assert not CrossPlan.objects.exists()


def test_a_pair_that_is_planned_or_was_made_says_so(desk):
    plan_of(("F2", "M2"), signed=False)

    page = text(desk.get(PAGE))

    assert "in plan P1" in page
    assert "crossed before: 10-1" in page


def test_staff_may_look_but_find_no_boxes(client_of):
    broodstock()
    staff = client_of("staff")

    assert 'type="checkbox" name="pair"' not in text(staff.get(PAGE))
    assert staff.post(PAGE, {"pair": [box("F2", "M2")], "new_number": "LI-1"}).status_code == 403


def test_an_unknown_stock_or_season_is_asked_again(desk):
    assert desk.get("/pairs/?stock=Nowhere").status_code == 422
    assert "Write a season from 1900" in text(desk.get(f"{PAGE}&season=1066"))


def test_a_register_without_stocks_says_who_opens_them(client_of):
    assert "The administrator opens stocks" in text(client_of("geneticist").get("/pairs/"))


def test_the_page_costs_the_same_queries_whatever_the_number_of_candidates(desk, django_assert_max_num_queries):
    with django_assert_max_num_queries(45) as before:
        desk.get(PAGE)
    for n in range(12):
        young(f"X{n}", "FM"[n % 2], "10-1")
        check(f"X{n}", "IV")
    with django_assert_max_num_queries(len(before)):
        desk.get(PAGE)
