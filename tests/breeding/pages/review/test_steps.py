"""The pages of a plan's way, its history, and what became of it."""

import pytest
from django.utils import timezone

from registry.models import CrossPlan, JournalEntry, PlanRemark
from registry.operations.crossing.plans.wishes import restore_limit, set_limit
from registry.operations.crossing.spawning import record_spawning
from registry.operations.shared.entries import CrossMade, LimitRestored, LimitSet, SireShare, SpawningNight
from tests.support.broodstock import HALL, broodstock, lift, plan_of
from tests.support.people import ticked

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client_of):
    broodstock()
    return client_of("geneticist")


def text(answer):
    return " ".join(answer.content.decode().split())


def make(dam, sire, family, reason=""):
    cross = CrossMade(dam=dam, sires=(SireShare(sire=sire),), family=family, off_plan_reason=reason)
    record_spawning(HALL, SpawningNight(number=f"S{family}", spawned_on=timezone.localdate(), crosses=(cross,)))


def test_a_plan_goes_its_way_by_pages(desk):
    plan_of(("F2", "M2"), signed=False)
    assert "A draft, not signed yet." in text(desk.get("/plans/P1/"))

    ticked(desk, "/plans/P1/submit/", {"words": "please look at F2"})
    assert "Handed in by geneticist" in text(desk.get("/plans/P1/"))
    assert "please look at F2" in text(desk.get("/plans/P1/"))
    desk.post("/plans/P1/return/", {"words": "rest F2"})
    assert "Returned by geneticist" in text(desk.get("/plans/P1/"))
    ticked(desk, "/plans/P1/submit/", {"words": ""})
    ticked(desk, "/plans/P1/sign/", {"statement": "I propose these crosses."})
    answer = desk.post("/plans/P1/amend/", {"reason": "M2 is small"})
    assert answer.url == "/plans/P1-A1/"
    assert 'href="/plans/P1-A1/">Amendment P1-A1</a>' in text(desk.get("/plans/P1/"))
    ticked(desk, "/plans/P1-A1/submit/", {"words": ""})
    ticked(desk, "/plans/P1-A1/sign/", {"statement": "I propose these crosses."})

    assert "Signed, then superseded by plan P1-A1. It is kept as it was." in text(desk.get("/plans/P1/"))


def test_a_limit_that_is_broken_and_not_relaxed_keeps_a_plan_from_being_handed_in(desk):
    plan_of(("F2", "M1"), signed=False)
    for key in ("tissue", "repeat_years"):
        restore_limit(HALL, LimitRestored(plan="P1", key=key))

    answer = ticked(desk, "/plans/P1/submit/", {"words": ""})

    assert answer.status_code == 422
    way = "with a reason, or change the crosses."
    assert f"F2: no tissue sample is kept. Take one. Relax the limit “tissue sample” {way}" in text(answer)
    assert f"F2 × M1 was crossed before. Relax the limit “years until a pair is repeated” {way}" in text(answer)
    lift("P1")
    assert ticked(desk, "/plans/P1/submit/", {"words": ""}).status_code == 302


def test_closing_asks_once_more_about_what_was_not_made(desk):
    plan_of(("F2", "M2"))
    answer = desk.post("/plans/P1/close/", {"words": ""})
    warning = "Not made, and nobody said why: F2 × M2. Say it first, if you know."
    assert answer.status_code == 422
    assert warning in text(answer)

    ticked = {"words": "a late spring", "confirm_warnings": "yes", "warning_seen": [warning]}
    assert desk.post("/plans/P1/close/", ticked).url == "/plans/P1/"
    assert "Closed by geneticist" in text(desk.get("/plans/P1/"))


def test_a_remark_on_a_cross_stands_on_the_plan(client_of, desk):
    plan_of(("F2", "M2"))
    hall = client_of("staff")
    assert 'value="F2"' in text(hall.get("/plans/P1/remark/?dam=F2&sire=M2"))

    hall.post("/plans/P1/remark/", {"words": "She is thin.", "dam": "F2", "sire": "M2"})

    assert PlanRemark.objects.get().words == "She is thin."
    assert "<strong>F2 × M2:</strong> She is thin." in text(desk.get("/plans/P1/"))


@pytest.mark.parametrize("step", ["submit", "return", "sign", "close", "amend"])
def test_only_the_geneticist_moves_a_plan_on(client_of, desk, step):
    plan_of(("F2", "M2"), signed=False)
    assert client_of("staff").get(f"/plans/P1/{step}/").status_code == 403
    assert f"/plans/P1/{step}/" not in text(client_of("staff").get("/plans/P1/"))
    assert desk.get(f"/plans/P9/{step}/").status_code == 404


def test_a_guard_that_was_lifted_is_shown_loudly(desk):
    plan_of(("F2", "M2"), signed=False)
    set_limit(HALL, LimitSet(plan="P1", key="same_stock", reason="the other run is gone"))
    page = text(desk.get("/plans/P1/submit/"))
    assert "Guard lifted: one stock.</strong> It does not hold in this plan. Reason: the other run is gone" in page


def test_the_history_tells_every_entry_in_words(client_of, desk):
    plan_of(("F2", "M2"), ("F1", "M2"), signed=False)
    desk.post("/plans/P1/pair/take-out/", {"dam": "F1", "sire": "M2", "reason": "rest her a year"})
    page = text(desk.get("/plans/P1/history/"))
    assert "rest her a year" in page
    assert "F1 × M2 taken out" in page
    entry = JournalEntry.objects.get(what="pair taken out")
    assert f'href="/journal/{entry.seq}/"' in page
    assert f'href="/journal/{entry.seq}/"' not in text(client_of("staff").get("/plans/P1/history/"))


def test_the_history_of_an_amendment_begins_with_the_plan_it_amends(desk):
    plan_of(("F2", "M2"))
    desk.post("/plans/P1/amend/", {"reason": "M2 is small"})
    page = text(desk.get("/plans/P1-A1/history/"))
    assert "cross plan drafted" in page
    assert 'href="/plans/P1/">P1</a>: signed, signed by geneticist' in page


def test_planned_is_told_against_made(desk):
    plan_of(("F2", "M2"), ("F1", "M2"))
    make("F2", "M2", "26-01")
    make("D1", "M2", "26-02", reason="F1 gave no eggs")
    desk.post("/plans/P1/not-made/", {"dam": "F1", "sire": "M2", "reason": "no eggs"})

    page = text(desk.get("/plans/P1/outcome/"))

    assert "1 of 2 planned crosses made, 1 made outside the plan." in page
    assert "<strong>not made</strong>: no eggs" in page
    assert "F1 gave no eggs" in page
    # Planned: two unrelated females to one male, 1/16 + 1/8; made: the second female is of F1 × M1, as unrelated.
    assert page.count("81.25 %") == 2


def test_an_outcome_without_any_cross_says_so(desk):
    plan_of(signed=False)
    page = text(desk.get("/plans/P1/outcome/"))
    assert "This plan holds no cross." in page
    assert "Every cross of this stock and season is in the plan." in page


def test_history_and_outcome_cost_the_same_whatever_they_hold(desk, django_assert_max_num_queries):
    plan_of(("F2", "M2"), ("F1", "M2"), ("D1", "M2"))
    desk.get("/plans/P1/outcome/")
    with django_assert_max_num_queries(9):
        desk.get("/plans/P1/history/")
    with django_assert_max_num_queries(22):
        desk.get("/plans/P1/outcome/")
    assert CrossPlan.objects.count() == 1
