"""What holds fish back, asked for many at once."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from registry.models import Stock
from registry.operations.intake.quarantine import set_quarantine_unit, start_quarantine
from registry.operations.intake.samples import take_sample
from registry.operations.intake.treatments import record_treatment
from registry.operations.people import installer
from registry.queries.crosses.candidates import left_out, season_of, why_not
from registry.queries.intake.holds import held_back, in_quarantine
from registry.rules.intake.quarantine import QuarantineStart, QuarantineUnitSet
from registry.rules.intake.samples import SampleTaken
from registry.rules.intake.treatments import TreatmentGiven
from tests.support.broodstock import HALL, broodstock
from tests.support.river import STOCK, TANK

pytestmark = pytest.mark.django_db


def test_every_fish_that_is_held_back_is_named_with_its_reasons_in_a_few_statements(django_assert_num_queries):
    river, today = broodstock(), timezone.localdate()
    keys = {number: fish.pk for number, fish in river.fish.items()}
    set_quarantine_unit(installer("test"), QuarantineUnitSet(unit=TANK, day=date(2009, 1, 1)))
    start_quarantine(HALL, QuarantineStart(fish="F1", unit=TANK, since=today))
    record_treatment(
        HALL,
        TreatmentGiven(
            fish="M1", given_on=today, product="p", amount="a", prescriber="v",
            withdrawal_until=today + timedelta(days=5),
        ),
    )  # fmt: skip
    for number in ("F1", "M1", "F2"):
        take_sample(HALL, SampleTaken(fish=number, number=f"T-{number}", taken_on=today))
    take_sample(HALL, SampleTaken(fish="M2", number="S-1", taken_on=today, kind="swab"))  # no genotype out of a swab
    with django_assert_num_queries(4):
        found = held_back(keys.values(), today)
    codes = {number: [(one.code, one.warning) for one in found.get(key, [])] for number, key in keys.items()}
    assert codes == {
        "F1": [("in_quarantine", False)], "M1": [("withheld", False)], "F2": [], "M2": [("no_tissue", True)],
    }  # fmt: skip
    later = held_back(keys.values(), today + timedelta(days=5))
    assert keys["M1"] not in later
    assert keys["F1"] in later
    assert [row.fish.number for row in in_quarantine()] == ["F1"]


def test_held_fish_are_no_candidates_and_the_reason_is_told():
    broodstock()
    today = timezone.localdate()
    season = season_of(Stock.objects.get(name=STOCK), today)
    assert not left_out(season).filter(fish__number="F1").exists()
    set_quarantine_unit(installer("test"), QuarantineUnitSet(unit=TANK, day=date(2009, 1, 1)))
    start_quarantine(HALL, QuarantineStart(fish="F1", unit=TANK, since=today))
    (candidate,) = why_not(left_out(season).filter(fish__number="F1"), season)
    assert "is in quarantine since" in candidate.why_not
