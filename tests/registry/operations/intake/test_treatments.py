"""Treatments are recorded as they were given; their waiting times hold the fish back."""

from datetime import date
from types import SimpleNamespace

import pytest

from registry.operations.crossing.spawning import record_spawning
from registry.operations.intake.treatments import record_treatment
from registry.operations.shared.entries import CrossMade, ReleaseMade, SireShare, SpawningNight
from registry.operations.young.releases import release
from registry.permissions import Actor
from registry.rules.intake.treatments import TreatmentGiven
from tests.support.proof import ENTERING, only_those_who_may, refused, told

GIVEN, OVER = date(2011, 5, 3), date(2011, 5, 24)


def given(**changes: object) -> TreatmentGiven:
    whole = {
        "fish": "F1", "given_on": GIVEN, "product": "the prescribed product", "amount": "as written",
        "prescriber": "veterinarian, licence 12", "prescription": "11-7", "withdrawal_until": OVER,
    }  # fmt: skip
    return TreatmentGiven(**{**whole, **changes})


def crossed(day: date) -> SpawningNight:
    return SpawningNight(
        spawned_on=day, crosses=(CrossMade(dam="F1", sires=(SireShare(sire="M1"),), family=f"X-{day}"),)
    )


def let_go(day: date) -> ReleaseMade:
    return ReleaseMade(released_on=day, place="Alder Ford", fish=("F1",), permit="P")


def test_a_treatment_is_kept_as_it_was_given(river: SimpleNamespace, staff: Actor) -> None:
    row = record_treatment(staff, given(product_batch="L-4", notes="calm"))
    assert told() == ("staff", "treatment given", "fish F1", GIVEN, "test")
    kept = (row.product, row.product_batch, row.amount, row.prescriber, row.prescription, row.withdrawal_until)
    assert kept == ("the prescribed product", "L-4", "as written", "veterinarian, licence 12", "11-7", OVER)


def test_until_the_waiting_time_is_over_the_fish_is_neither_crossed_nor_released(
    river: SimpleNamespace, staff: Actor, manager: Actor
) -> None:
    record_treatment(staff, given())
    day_before = date(2011, 5, 23)
    told_why = "F1 was given the prescribed product on 3 May 2011 and is withheld until 24 May 2011."
    with refused(told_why):
        record_spawning(staff, crossed(day_before))
    with refused(told_why):
        release(manager, let_go(day_before))
    record_spawning(staff, crossed(date(2011, 5, 2)))
    record_spawning(staff, crossed(OVER))
    release(manager, let_go(OVER))


def test_a_waiting_time_for_release_alone_lets_the_fish_be_crossed(
    river: SimpleNamespace, staff: Actor, manager: Actor
) -> None:
    record_treatment(staff, given(bars_crossing=False))
    record_spawning(staff, crossed(GIVEN))
    with refused("is withheld until 24 May 2011"):
        release(manager, let_go(GIVEN))


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"fish": "F9"}, "There is no fish F9"),
        ({"prescriber": ""}, "The prescribing veterinarian is missing"),
        ({"amount": " "}, "The amount as prescribed is missing"),
        ({"product": ""}, "The product is missing"),
        ({"given_on": date(1999, 1, 1)}, "Fish F1 came 3 April 2000, after 1 January 1999"),
        ({"given_on": date(2999, 1, 1)}, "lies in the future"),
        ({"withdrawal_until": date(2011, 5, 2)}, "The waiting time cannot end before the treatment (3 May 2011)"),
    ],
)
def test_a_treatment_that_cannot_stand_is_refused(
    changes: dict[str, object], why: str, river: SimpleNamespace, staff: Actor
) -> None:
    with refused(why):
        record_treatment(staff, given(**changes))


def test_a_treatment_without_waiting_time_asks_for_a_second_look(river: SimpleNamespace, staff: Actor) -> None:
    with refused("No waiting time was given"):
        record_treatment(staff, given(withdrawal_until=None), confirmed=False)
    record_treatment(staff, given(withdrawal_until=None))


def test_who_may_record_a_treatment(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: record_treatment(by, given()))
