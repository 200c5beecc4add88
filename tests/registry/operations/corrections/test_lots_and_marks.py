"""Milt lots and marks of batches corrected: what was made with them must still fit."""

from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import BatchMark, CrossSire, MiltLot, MiltUse
from registry.models.record import Record
from registry.operations.corrections import Correction, correct
from registry.operations.crossing.milt import MiltCollected, MiltDiscarded, collect_milt, discard_milt
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import record_departure
from registry.operations.intake.corrections import TakenBack, take_back
from registry.operations.shared.entries import (
    BatchMarking,
    CrossMade,
    Day,
    Departure,
    SireShare,
    SpawningNight,
    Split,
)
from registry.operations.young.batches import mark_batch, split_batch
from registry.permissions import Actor
from tests.support.proof import last, refused, told
from tests.support.river import STOCK


def wrong(record: Record, **changes: object) -> Correction:
    return Correction(record=record, changes=changes, reason="Read from the straws.")


@pytest.fixture
def lot(river: SimpleNamespace) -> MiltLot:
    """Lay in 20 doses of M1 in 2010, throw 3 away, use 5 on F2 in 2012: family 12-1."""
    laid = MiltCollected(number="ML-1", male="M1", collected_on=date(2010, 5, 1), state="frozen", doses=20)
    row = collect_milt(river.by, laid)
    discard_milt(river.by, MiltDiscarded(lot="ML-1", used_on=date(2010, 6, 1), doses=3, purpose="thaw test"))
    sire = SireShare(sire="M1", milt_lot="ML-1", doses=5)
    night = CrossMade(dam="F2", sires=(sire,), family="12-1")
    record_spawning(river.by, SpawningNight(spawned_on=date(2012, 5, 1), stock=STOCK, crosses=(night,)))
    return row


def test_what_was_taken_out_of_a_lot_follows_its_correction(lot: MiltLot, manager: Actor) -> None:
    correct(manager, wrong(lot, doses=25, position="Dewar 2", state="fresh"))
    now = MiltLot.objects.current().get()
    assert (now.number, now.doses, now.position, now.male.number) == ("ML-1", 25, "Dewar 2", "M1")
    assert sorted(MiltUse.objects.current().filter(lot=now).values_list("doses", flat=True)) == [3, 5]
    used = CrossSire.objects.current().get(cross__family__number="12-1")
    assert (used.milt_lot_id, used.frozen_milt) == (now.pk, False)
    assert MiltLot.objects.get(withdrawn=last()).doses == 20
    assert told()[:3] == ("manager", "milt lot corrected", "milt lot ML-1")


def test_a_lot_is_not_corrected_below_what_was_made_of_it(lot: MiltLot, river: SimpleNamespace, manager: Actor) -> None:
    with refused("8 doses were taken out of lot ML-1; 7 is less. Count again."):
        correct(manager, wrong(lot, doses=7))
    with refused("Milt of lot ML-1 was taken out on 1 June 2010; it was not collected later."):
        correct(manager, wrong(lot, collected_on=date(2010, 6, 2)))
    with refused("Its milt made family 12-1: correct that family's parents first"):
        correct(manager, wrong(lot, male_id=river.fish["M2"].pk))
    with refused("F1 is recorded as female and cannot be a sire."):
        correct(manager, wrong(lot, male_id=river.fish["F1"].pk))
    record_departure(river.by, Departure(fish="M1", left="died", left_on=Day(date(2011, 1, 1))))
    with refused("M1 died 1 January 2011, and family 12-1 was made with this milt later: it was frozen."):
        correct(manager, wrong(lot, state="fresh"))


def test_a_mark_of_a_batch_is_corrected_and_who_got_it_by_a_split_is_named(
    river: SimpleNamespace, manager: Actor
) -> None:
    mark_batch(river.by, BatchMarking(batch="B1", kind="fin clip", detail="left", marked_on=date(2010, 7, 1)))
    split_batch(river.by, Split(batch="B1", new_number="B3", moved_on=date(2010, 8, 1), count=300))
    mark = BatchMark.objects.get(batch__number="B1")
    with refused("The same mark stands at batch B3. If it came from here by a split, correct it there."):
        correct(manager, wrong(mark, detail="right"), confirmed=False)
    with refused("Batch B1 holds 1000 fish on 1 July 2010, so 2000 cannot have been marked."):
        correct(manager, wrong(mark, count=2000))
    now = correct(manager, wrong(mark, detail="right"))
    assert (now.detail, now.batch.number, told()[1:3]) == ("right", "B1", ("batch mark corrected", "batch B1"))
    take_back(manager, TakenBack(record=now, reason="It was another batch."))
    assert list(BatchMark.objects.current().values_list("batch__number", flat=True)) == ["B3"]
