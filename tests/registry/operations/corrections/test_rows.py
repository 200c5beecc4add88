"""Corrections: a later entry that names what it corrects and why; the earlier row stays readable."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import Account, Check, FishDetails, HoldingUnit, ReleaseDetails, Stay, Tag, Transfer
from registry.models.record import Record
from registry.operations.checks import record_measurement
from registry.operations.corrections import Correction, correct
from registry.operations.fish import FishMove, move_fish, record_departure
from registry.operations.people import installer
from registry.operations.places import UnitOpened, open_unit
from registry.operations.shared.entries import (
    BatchPart,
    Census,
    Day,
    Departure,
    Measurement,
    ReleaseMade,
    Split,
    Taking,
)
from registry.operations.young.batches import record_census, record_loss, split_batch
from registry.operations.young.releases import release
from registry.permissions import Actor
from tests.support.proof import CORRECTING, last, only_those_who_may, refused, told
from tests.support.river import CODES, POND, TANK

JUNE, JULY = date(2010, 6, 1), date(2010, 7, 1)
REASON = "Read from the paper book."


def wrong(record: Record, **changes: object) -> Correction:
    return Correction(record=record, changes=changes, reason=REASON)


def details(number: str = "F2") -> FishDetails:
    return FishDetails.objects.current().get(fish__number=number)


def loss(by: Actor, count: int = 100, day: date = JUNE) -> Transfer:
    record_loss(by, Taking(batch="B1", moved_on=day, count=count, stage="fry"))
    return Transfer.objects.filter(event="loss").order_by("-pk")[0]


def held(kind: str = "batch", batch: str | None = "B1") -> int:
    return Account.objects.get(kind=kind, batch__number=batch).balance


def test_a_correction_names_the_entry_that_it_corrects(river: SimpleNamespace, manager: Actor) -> None:
    before = details()
    after = correct(manager, wrong(before, caught_at="Alder Ford", notes="scarred"))
    assert (after.caught_at, after.notes, after.sex, after.caught_on) == (
        "Alder Ford", "scarred", "F", before.caught_on,
    )  # fmt: skip
    assert (last().corrects_id, last().reason) == (before.entry_id, REASON)
    assert told()[:3] == ("manager", "fish details corrected", "fish F2")
    assert after.entry_id == last().seq


def test_what_was_corrected_stays_readable(river: SimpleNamespace, manager: Actor) -> None:
    before = details()
    correct(manager, wrong(before, caught_at="Alder Ford"))
    before.refresh_from_db()
    assert (before.caught_at, before.withdrawn_id) == ("", last().seq)
    with refused("This was corrected already. Correct the later entry instead."):
        correct(manager, wrong(before, caught_at="Stony Reach"))


def test_who_may_correct(river: SimpleNamespace) -> None:
    only_those_who_may(CORRECTING, lambda by: correct(by, wrong(details(), caught_at="Alder Ford")))


def test_a_correction_has_a_reason_and_a_difference(river: SimpleNamespace, manager: Actor) -> None:
    with refused("Say why: the reason stands in the journal beside the correction."):
        correct(manager, Correction(record=details(), changes={"sex": "U"}, reason="  "))
    with refused("Nothing is different from what stands. Change a figure first."):
        correct(manager, wrong(details(), sex="F"))
    with refused("fish_id of this kind of entry cannot be corrected."):
        correct(manager, wrong(details(), fish_id=1))
    with refused("holds a control character (U+0007)"):
        correct(manager, Correction(record=details(), changes={"sex": "U"}, reason="\x07"))


def test_a_corrected_value_is_one_that_can_be(river: SimpleNamespace, manager: Actor) -> None:
    with refused("Value 'X' is not a valid choice."):
        correct(manager, wrong(details(), sex="X"))
    with refused("at most 120 characters"):
        correct(manager, wrong(details(), caught_at="x" * 121))


def test_a_tag_read_wrongly_is_corrected(river: SimpleNamespace, manager: Actor) -> None:
    tag = Tag.objects.get(code=CODES["F1"])
    after = correct(manager, wrong(tag, code="900215000123456"))
    assert (after.fish.number, after.code, after.attached_on) == ("F1", "900215000123456", tag.attached_on)
    assert Tag.objects.get(code=CODES["F1"]).withdrawn_id == last().seq
    assert told()[1:3] == ("tag corrected", "fish F1")
    with refused(f"Tag {CODES['M1']} is active on fish M1 since 5 April 2000."):
        correct(manager, wrong(after, code=CODES["M1"]))


def test_a_measurement_is_corrected_within_what_is_possible(river: SimpleNamespace, manager: Actor) -> None:
    check = record_measurement(manager, Measurement(fish="F1", checked_on=JUNE, total_length_mm=Decimal(721)))
    after = correct(manager, wrong(check, total_length_mm=Decimal(712)))
    assert Check.objects.current().get() == after
    with refused("-1 mm is not above zero. Measure again."):
        correct(manager, wrong(after, total_length_mm=Decimal(-1)))


def test_a_place_of_release_is_corrected(river: SimpleNamespace, manager: Actor) -> None:
    part = (BatchPart(batch="B1", count=10),)
    row = release(manager, ReleaseMade(number="R1", released_on=JULY, place="Alder Ford", batches=part))
    after = correct(manager, wrong(ReleaseDetails.objects.get(release=row), place="Stony Reach"))
    assert (after.place, told()[1:3]) == ("Stony Reach", ("release details corrected", "release R1"))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"place": ""}, "The place is missing. Say where the fish were released."),
        ({"latitude": Decimal(95), "longitude": Decimal(20)}, "Latitude 95 is not on Earth: −90 to 90."),
        ({"latitude": Decimal(45)}, "The longitude is missing. Give both or neither."),
        ({"mean_mass_g": Decimal(-2)}, "-2 g is not above zero. Weigh again."),
    ],
)
def test_a_release_is_not_corrected_into_one_that_cannot_be(
    river: SimpleNamespace, manager: Actor, changes: dict[str, object], sentence: str
) -> None:
    part = (BatchPart(batch="B1", count=10),)
    row = release(manager, ReleaseMade(released_on=JULY, place="Alder Ford", batches=part))
    with refused(sentence):
        correct(manager, wrong(ReleaseDetails.objects.get(release=row), **changes))


def test_a_corrected_loss_changes_the_count_of_its_batch(river: SimpleNamespace, manager: Actor) -> None:
    before = loss(manager)
    after = correct(manager, wrong(before, count=90, notes="counted twice"))
    assert (after.count, after.stage, after.moved_on, after.notes) == (90, "fry", JUNE, "counted twice")
    assert (held(), held("loss", None)) == (910, 90)
    before.refresh_from_db()
    assert (before.count, before.withdrawn_id) == (100, last().seq)
    assert told()[:3] == ("manager", "transfer corrected", "batch B1")


def test_a_corrected_loss_leaves_a_later_count_standing(river: SimpleNamespace, manager: Actor) -> None:
    before = loss(manager)
    record_census(manager, Census(batch="B1", moved_on=JULY, counted=850))
    correct(manager, wrong(before, count=60))
    assert (held(), held("loss", None), held("correction", None)) == (850, 60, 90)


def test_a_corrected_loss_leaves_a_count_of_the_same_day_standing(river: SimpleNamespace, manager: Actor) -> None:
    """1,000 − 100 lost, then 850 counted, both on 1 June: 50 were missing besides, or 90 if only 60 were lost."""
    before = loss(manager)
    record_census(manager, Census(batch="B1", moved_on=JUNE, counted=850))
    correct(manager, wrong(before, count=60))
    assert (held(), held("loss", None), held("correction", None)) == (850, 60, 90)
    with refused("Batch B1 holds 850 fish on 1 June 2010, not 941. Count it, or correct the number."):
        correct(manager, wrong(Transfer.objects.current().get(event="loss"), count=1001))
    correct(manager, wrong(Transfer.objects.current().get(event="loss"), count=1000))
    assert held() == 850


def test_a_correction_leaves_no_batch_below_zero(river: SimpleNamespace, manager: Actor) -> None:
    before = loss(manager)
    loss(manager, 800, date(2010, 6, 10))
    with refused("Taking 101 out of batch B1 on 1 June 2010 leaves 1 too few for later entries."):
        correct(manager, wrong(before, count=201))
    correct(manager, wrong(before, count=200))
    assert held() == 0


def test_a_corrected_split_changes_both_batches(river: SimpleNamespace, manager: Actor) -> None:
    split_batch(manager, Split(batch="B1", new_number="B2", moved_on=JUNE, count=300))
    correct(manager, wrong(Transfer.objects.get(event="split"), count=320))
    assert (held(), held(batch="B2")) == (680, 320)
    record_loss(manager, Taking(batch="B2", moved_on=JULY, count=310))
    with refused("Taking 20 out of batch B2 on 1 June 2010 leaves 10 too few for later entries."):
        correct(manager, wrong(Transfer.objects.current().get(event="split"), count=300))


def test_a_transfer_moves_at_least_one_fish(river: SimpleNamespace, manager: Actor) -> None:
    before = loss(manager)
    for count in (0, -5):
        with refused(f"{count} is not above zero. Give how many fish, as a whole number."):
            correct(manager, wrong(before, count=count))


def test_a_count_is_corrected_by_counting_again(river: SimpleNamespace, manager: Actor) -> None:
    record_census(manager, Census(batch="B1", moved_on=JULY, counted=850))
    with refused("A count is corrected by counting again: enter a new count."):
        correct(manager, wrong(Transfer.objects.get(event="census"), count=100))


def stays(fish: str = "F1") -> list[tuple[str, date, date | None]]:
    rows = Stay.objects.current().filter(fish__number=fish).order_by("since")
    return list(rows.values_list("unit__name", "since", "until"))


def moved(by: Actor) -> Stay:
    """Move F1 out of the tank, where it is since it was caught, into the pond on 1 June 2010."""
    move_fish(by, FishMove(fish="F1", unit=POND, moved_on=JUNE))
    return Stay.objects.current().get(fish__number="F1", until=None)


def test_a_move_to_the_wrong_unit_on_the_wrong_day_is_corrected_at_both_ends(
    river: SimpleNamespace, manager: Actor
) -> None:
    came = stays()[0][1]
    wrong_move = moved(manager)
    other = open_unit(installer("test"), UnitOpened(name="Tank 7", kind="tank", facility="Brackenholt Weir Hatchery"))

    after = correct(manager, wrong(wrong_move, unit_id=other.pk, since=JULY))

    assert stays() == [(TANK, came, JULY), ("Tank 7", JULY, None)]
    assert (after.fish.number, told()[1:3], last().reason) == ("F1", ("stay corrected", "fish F1"), REASON)
    assert Stay.objects.filter(fish__number="F1", withdrawn=last().seq).count() == 2


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"since": date(2000, 1, 1)}, "It came on 3 April 2000, after this day."),
        ({"since": date(2999, 1, 1)}, "1 January 2999 lies in the future."),
        ({"until": date(2010, 5, 31)}, "A stay cannot end before it began."),
        ({"unit_id": 0}, "holding unit instance with id 0 is not a valid choice."),
        ({"fish_id": 1}, "fish_id of this kind of entry cannot be corrected."),
    ],
)
def test_a_stay_that_cannot_have_been_is_refused(
    river: SimpleNamespace, manager: Actor, changes: dict, sentence: str
) -> None:
    stay = moved(manager)
    with refused(sentence):
        correct(manager, wrong(stay, **changes))


def test_a_fish_is_in_one_unit_at_a_time(river: SimpleNamespace, manager: Actor) -> None:
    moved(manager)
    tank = Stay.objects.current().get(fish__number="F1", until=JUNE)
    with refused(f"It was in {POND} from 1 June 2010 until now. Correct that stay first, or the days."):
        correct(manager, wrong(tank, until=JULY))


def test_a_stay_does_not_outlast_its_fish(river: SimpleNamespace, manager: Actor) -> None:
    record_departure(manager, Departure(fish="F1", left="died", left_on=Day(JUNE)))
    with refused("It left on 1 June 2010; the stay ended then at the latest."):
        correct(manager, wrong(Stay.objects.get(fish__number="F1"), until=None))


def test_the_unit_of_a_batch_is_corrected(river: SimpleNamespace, manager: Actor) -> None:
    stay = Stay.objects.get(batch__number="B1")
    correct(manager, wrong(stay, unit_id=HoldingUnit.objects.get(name=TANK).pk))
    assert told()[1:3] == ("stay corrected", "batch B1")
    with refused("It came on 10 May 2010, after this day."):
        correct(manager, wrong(Stay.objects.current().get(batch__number="B1"), since=date(2010, 5, 1)))
