"""Batches in quarantine and withheld after a treatment, by the rules for fish (common practice, no source)."""

from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import Quarantine, Stay, Treatment
from registry.operations.intake.quarantine import release_from_quarantine, set_quarantine_unit, start_quarantine
from registry.operations.intake.treatments import record_treatment
from registry.operations.people import installer
from registry.operations.places import UnitOpened, open_unit
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import (
    Admission,
    BatchMove,
    BatchPart,
    Merge,
    Registration,
    ReleaseMade,
    Split,
    Taking,
)
from registry.operations.young.batches import merge_batches, move_batch, record_loss, split_batch
from registry.operations.young.releases import release
from registry.permissions import Actor
from registry.rules.intake.quarantine import QuarantineRelease, QuarantineStart, QuarantineUnitSet
from registry.rules.intake.treatments import TreatmentGiven
from tests.support.proof import refused, told
from tests.support.river import POND, TANK

JUNE, JULY, AUGUST = date(2010, 6, 1), date(2010, 7, 1), date(2010, 8, 1)
APART, ASIDE = "Quarantine 1", "Tank beside it"
RELEASED = ReleaseMade(released_on=JULY, place="Alder Ford", batches=(BatchPart(batch="B1", count=100),), permit="P")
SENT_AWAY = Taking(batch="B1", moved_on=JULY, count=5, event="transfer", permit="P")


@pytest.fixture
def apart(river: SimpleNamespace, staff: Actor) -> Quarantine:
    """B1 in quarantine since June."""
    setup = installer("test")
    for unit in (APART, ASIDE):
        open_unit(setup, UnitOpened(name=unit, kind="tank", facility="Quern Mill", water_system="Mill race"))
    set_quarantine_unit(setup, QuarantineUnitSet(unit=APART, day=date(2009, 1, 1)))
    split_batch(staff, Split(batch="B1", new_number="B0", moved_on=date(2010, 5, 20), count=100, unit=POND))
    return start_quarantine(staff, QuarantineStart(batch="B1", unit=APART, since=JUNE, reason="sores"))


def test_a_batch_put_into_quarantine_moves_into_its_unit(apart: Quarantine) -> None:
    assert told()[:4] == ("staff", "quarantine begun", "batch B1", JUNE)
    assert str(apart) == "quarantine of batch B1"
    stays = Stay.objects.filter(batch__number="B1").order_by("pk").values_list("unit__name", "until")
    assert list(stays) == [(POND, JUNE), (APART, None)]


def test_a_batch_in_quarantine_stays_apart(apart: Quarantine, staff: Actor, manager: Actor) -> None:
    first = "Batch B1 is in quarantine since 1 June 2010"
    with refused(f"{first}; {ASIDE} is no quarantine unit and has the same water"):
        move_batch(staff, BatchMove(batch="B1", moved_on=JULY, unit=ASIDE))
    with refused(f"{first}; {TANK} is no quarantine unit and may share its water with others."):
        split_batch(staff, Split(batch="B1", new_number="B2", moved_on=JULY, count=10, unit=TANK))
    with refused(f"{first}, and B0 is not. The veterinarian's release comes first."):
        merge_batches(staff, Merge(batch="B1", into="B0", moved_on=JULY, count=10))
    with refused(f"{first} ({APART}). The veterinarian's release comes first."):
        release(manager, RELEASED)
    with refused("Batch B1 is in quarantine: it travels by the veterinarian's word and with its papers only."):
        record_loss(staff, SENT_AWAY, confirmed=False)
    with refused(f"{first}; {TANK} is no quarantine unit"):
        fish = (Admission(number="X1", unit=TANK),)
        register_individuals(staff, Registration(batch="B1", moved_on=JULY, fish=fish))
    with refused(f"batch B1 is in quarantine in {APART}: the veterinarian's release comes first."):
        set_quarantine_unit(installer("test"), QuarantineUnitSet(unit=APART, day=JULY, serves=False))


def test_the_veterinarian_ends_the_quarantine_of_a_batch(apart: Quarantine, staff: Actor, manager: Actor) -> None:
    word = {"until": JULY, "released_by": "VET 7", "findings": "no virus found"}
    with refused("Batch B0 is not in quarantine."):
        release_from_quarantine(manager, QuarantineRelease(batch="B0", **word))
    release_from_quarantine(manager, QuarantineRelease(batch="B1", **word))
    assert told()[:4] == ("manager", "quarantine ended by the veterinarian", "batch B1", JULY)
    move_batch(staff, BatchMove(batch="B1", moved_on=JULY, unit=ASIDE))
    release(manager, RELEASED)


def test_what_comes_out_of_a_batch_in_quarantine_is_in_quarantine(apart: Quarantine, staff: Actor) -> None:
    bath = {"product": "bath", "amount": "as written", "prescriber": "VET 7", "withdrawal_until": date(2010, 9, 1)}
    record_treatment(staff, TreatmentGiven(batch="B1", given_on=JUNE, **bath))
    assert told()[1:3] == ("treatment given", "batch B1")
    split_batch(staff, Split(batch="B1", new_number="B2", moved_on=JULY, count=10, unit=APART))
    register_individuals(staff, Registration(batch="B2", moved_on=AUGUST, fish=(Admission(number="X1"),)))
    held = Quarantine.objects.exclude(pk=apart.pk).order_by("pk").values_list("batch__number", "fish__number", "since")
    assert list(held) == [("B2", None, JULY), (None, "X1", AUGUST)]
    waits = Treatment.objects.order_by("pk").values_list("batch__number", "fish__number", "given_on")
    assert list(waits) == [("B1", None, JUNE), ("B2", None, JUNE), (None, "X1", JUNE)]


def test_a_treated_batch_is_withheld_and_so_are_those_its_fish_go_into(
    river: SimpleNamespace, staff: Actor, manager: Actor
) -> None:
    split_batch(staff, Split(batch="B1", new_number="B2", moved_on=JUNE, count=10))
    bath = {"product": "bath", "amount": "as written", "prescriber": "VET 7", "withdrawal_until": date(2010, 9, 1)}
    record_treatment(staff, TreatmentGiven(batch="B2", given_on=JUNE, **bath))
    merge_batches(staff, Merge(batch="B2", into="B1", moved_on=date(2010, 6, 20), count=10))
    with refused("Batch B1 was given bath on 1 June 2010 and is withheld until 1 September 2010."):
        release(manager, RELEASED)


def test_an_entry_names_one_fish_or_one_batch_that_was_there(apart: Quarantine, staff: Actor) -> None:
    with refused("Say which fish it is, or which batch."):
        start_quarantine(staff, QuarantineStart(unit=APART, since=JULY))
    with refused("A fish and a batch were named. Enter each by itself."):
        start_quarantine(staff, QuarantineStart(fish="F1", batch="B0", unit=APART, since=JULY))
    with refused("There is no batch B9 in the register."):
        start_quarantine(staff, QuarantineStart(batch="B9", unit=APART, since=JULY))
    with refused("Batch B1 is in quarantine since 1 June 2010. End that one first."):
        start_quarantine(staff, QuarantineStart(batch="B1", unit=APART, since=JULY))
    with refused("B0"):
        start_quarantine(staff, QuarantineStart(batch="B0", unit=APART, since=date(2010, 5, 1)))
