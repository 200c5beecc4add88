"""Who may be crossed this season, and why the others are left out."""

from datetime import date

import pytest
from django.utils import timezone

from registry.models import CrossPlan, FishDetails, Stock
from registry.operations.catalogue import StockOpened, open_stock
from registry.operations.corrections import Correction, correct
from registry.operations.crossing.milt import MiltDiscarded, discard_milt
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.wishes import set_limit
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import admit_fish, record_departure
from registry.operations.shared.entries import (
    Admission,
    CrossMade,
    Day,
    Departure,
    LimitSet,
    PlanDraft,
    SireShare,
    SpawningNight,
)
from registry.queries.crosses.candidates import left_out, season_of, why_not
from registry.queries.crosses.season.problem import season_problem
from tests.support.broodstock import HALL, STOCK, broodstock, check, freeze_milt, young

pytestmark = pytest.mark.django_db


def season():
    return season_of(Stock.objects.get(name=STOCK), timezone.localdate())


def ready_fish():
    return list(candidates())


def candidates():
    """Return the fish that a plan of this season may use, by number."""
    plan = CrossPlan.objects.filter(number="P1").select_related("stock__species").first()
    if plan is None:
        plan = draft_plan(HALL, PlanDraft(number="P1", stock=STOCK, season=timezone.localdate().year))
        set_limit(HALL, LimitSet(plan="P1", key="tissue", reason="nothing is sampled here"))
    found = season_problem(plan)
    return {number: one.candidate for number, one in sorted(found.candidates.items()) if not one.reasons}


def reasons(number):
    """Return why a fish is left out; fails if it is not."""
    rows = left_out(season()).filter(fish__number=number)
    return " ".join(one for candidate in why_not([rows.get()], season()) for one in candidate.reasons)


def dies(number):
    record_departure(HALL, Departure(fish=number, left="died", left_on=Day(timezone.localdate())))


def test_fish_found_ripe_this_season_are_ready():
    broodstock()

    assert ready_fish() == ["D1", "D2", "F1", "F2", "H1", "M1", "M2"]


def test_a_fish_whose_last_check_found_it_unripe_is_left_out():
    broodstock()
    check("F1", "III", days_ago=2)

    assert "F1" not in ready_fish()
    assert "stage III" in reasons("F1")
    assert "not ripe" in reasons("F1")


def test_a_ripe_stage_found_longer_ago_than_the_policy_allows_no_longer_counts():
    broodstock()
    young("D3", "F", "10-1")
    check("D3", "IV", days_ago=401)
    young("D4", "F", "10-1")
    check("D4", "IV", days_ago=400)

    assert "D3" not in ready_fish()
    assert "over 400 days ago. Check it again." in reasons("D3")
    assert "D4" in ready_fish()


def test_a_fish_that_was_never_checked_is_left_out_until_someone_looks():
    broodstock()
    young("D3", "F", "10-1")

    assert "no maturity stage on record. Check it first." in reasons("D3")


def test_a_female_that_was_stripped_after_her_check_is_spent():
    broodstock()
    cross = CrossMade(dam="F2", sires=(SireShare(sire="M2"),), family="26-90")
    record_spawning(HALL, SpawningNight(spawned_on=timezone.localdate(), crosses=(cross,)))

    assert "F2" not in ready_fish()
    assert "after the last check" in reasons("F2")
    assert "M2" in ready_fish(), "a male may be used again"


def test_a_dead_fish_is_no_candidate_but_a_male_with_frozen_milt_is():
    broodstock()
    freeze_milt("M2", doses=3)
    dies("M2")
    dies("F2")

    assert "F2" not in ready_fish()
    stands = candidates()["M2"]
    assert (stands.left, stands.doses) == ("died", 3)


def test_a_dead_male_whose_frozen_milt_is_used_up_is_left_out():
    broodstock()
    freeze_milt("M2", doses=3)
    dies("M2")
    discard_milt(HALL, MiltDiscarded(lot="L-M2", used_on=timezone.localdate(), doses=3, purpose="test"))

    assert "M2" not in ready_fish()
    assert "no dose of its frozen milt is left" in reasons("M2")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"hybrid": True}, "Hybrids never enter a cross"),
        ({"confidence": "doubtful"}, "species in doubt"),
        ({"sex": "U"}, "sex not known"),
    ],
)
def test_a_fish_in_doubt_is_left_out_however_ripe(changes, words):
    broodstock()
    correct(
        HALL, Correction(record=FishDetails.objects.current().get(fish__number="F2"), changes=changes, reason="test")
    )

    assert "F2" not in ready_fish()
    assert words in reasons("F2")


def test_fish_of_another_stock_are_not_asked_about(administrator):
    broodstock()
    open_stock(administrator, StockOpened(name="Upper Isendre", species="ruthenus"))
    admit_fish(HALL, Admission(number="U1", species="ruthenus", stock="Upper Isendre", sex="F", origin="wild",
                               caught=Day(date(2001, 1, 1))))  # fmt: skip
    check("U1", "IV")

    assert "U1" not in ready_fish()
    assert not left_out(season()).filter(fish__number="U1").exists()
