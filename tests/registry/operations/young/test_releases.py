"""Fish put into open water, and fish met again."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import Account, FishDetails, Recapture, ReleaseDetails, Stay, Tag, Transfer
from registry.operations.fish import admit_fish, record_departure
from registry.operations.shared.entries import (
    Admission,
    BatchPart,
    Census,
    Day,
    Departure,
    RecaptureMade,
    ReleaseMade,
    TagCode,
)
from registry.operations.young.batches import record_census
from registry.operations.young.releases import record_recapture, release
from registry.permissions import Actor
from tests.support.proof import ENTERING, RELEASING, last, only_those_who_may, refused, told
from tests.support.river import CODES

DAY = date(2011, 9, 3)
HERE = {"place": "Alder Ford", "latitude": Decimal("44.5"), "longitude": Decimal("29.25")}
PART = BatchPart(batch="B1", count=400)
OF_F1 = TagCode("iso", CODES["F1"])


def released(**changes: object) -> ReleaseMade:
    return ReleaseMade(**{"released_on": DAY, "batches": (PART,), "permit": "BW/2011/7", **HERE, **changes})


def met(**changes: object) -> RecaptureMade:
    return RecaptureMade(**{"recaptured_on": date(2012, 8, 1), "code": OF_F1, **HERE, **changes})


def test_a_release_takes_its_fish_out_of_their_batch(river: SimpleNamespace, manager: Actor) -> None:
    row = release(manager, released(mark="adipose clip", mean_mass_g=Decimal("41.5"), stage="fingerling", notes="calm"))
    moved = Transfer.objects.get(release=row)
    assert (moved.event, moved.count, moved.to_account.kind, moved.stage) == ("release", 400, "released", "fingerling")
    assert Account.objects.get(batch__number="B1").balance == 600
    where = ReleaseDetails.objects.get(release=row)
    assert (where.place, where.latitude, where.longitude) == tuple(HERE.values())
    assert (where.permit, where.mark, where.mean_mass_g, where.notes) == (
        "BW/2011/7", "adipose clip", Decimal("41.5"), "calm",
    )  # fmt: skip
    assert (row.number, row.released_on, row.entry_id) == ("R11-09-03-1", DAY, last().seq)
    assert told() == ("manager", "fish released", "release R11-09-03-1", DAY, "test")


def test_a_registered_fish_is_released_with_its_tag(river: SimpleNamespace, manager: Actor) -> None:
    row = release(manager, released(number="R1", batches=(), fish=("F1",)))
    now = FishDetails.objects.current().get(fish__number="F1")
    assert (now.left, now.left_on, now.release_id) == ("released", DAY, row.pk)
    assert Tag.objects.get(fish__number="F1").ended_on is None
    assert Stay.objects.get(fish__number="F1").until == DAY


def test_who_may_release_and_who_may_note_a_recapture(river: SimpleNamespace) -> None:
    only_those_who_may(RELEASING, lambda by: release(by, released()))
    only_those_who_may(ENTERING, lambda by: record_recapture(by, met()))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"released_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"place": ""}, "The place is missing. Say where the fish were released."),
        ({"batches": ()}, "No fish were named. Give a batch with a number, or tags."),
        ({"batches": (BatchPart(batch="B9", count=1),)}, "There is no batch B9 in the register. Open it first."),
        ({"batches": (BatchPart(batch="B1", count=0),)}, "How many fish of batch B1 were released?"),
        ({"batches": (BatchPart(batch="B1", count=-4),)}, "-4 is below zero. Give how many fish, as a whole number."),
        ({"batches": (BatchPart(batch="B1", count=1001),)}, "Batch B1 holds 1000 fish on 3 September 2011, not 1001."),
        ({"batches": (PART, BatchPart(batch="b1", count=1))}, "Batch B1 is named twice. Give one number for it."),
        ({"latitude": Decimal(91)}, "Latitude 91 is not on Earth: −90 to 90."),
        ({"longitude": Decimal(-181)}, "Longitude -181 is not on Earth: −180 to 180."),
        ({"longitude": None}, "The longitude is missing. Give both or neither."),
        ({"mean_mass_g": Decimal(0)}, "0 g is not above zero. Weigh again."),
        ({"fish": ("F9",)}, "There is no fish F9 in the register."),
        ({"fish": ("F1", "F1")}, "Fish F1 is named twice."),
        ({"fish": ("F1",), "released_on": date(1999, 1, 1)}, "Fish F1 came 3 April 2000, later."),
        ({"mark": "\x06"}, "holds a control character (U+0006)"),
    ],
)
def test_a_release_that_cannot_be_is_refused(
    river: SimpleNamespace, manager: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        release(manager, released(**changes))


def test_a_release_without_permit_or_position_is_asked_about(river: SimpleNamespace, manager: Actor) -> None:
    bare = released(permit="", latitude=None, longitude=None)
    with refused("No permit number was given. Releases need one; ask the authority", "No position was given."):
        release(manager, bare, confirmed=False)
    assert release(manager, bare).number == "R11-09-03-1"


def test_neither_the_dead_nor_hybrids_nor_doubtful_fish_are_released(
    river: SimpleNamespace, manager: Actor, staff: Actor
) -> None:
    record_departure(staff, Departure(fish="F1", left="died", left_on=Day(date(2011, 1, 1))))
    admit_fish(staff, Admission(number="H1", hybrid=True))
    admit_fish(staff, Admission(number="X1", species="baerii", confidence="doubtful"))
    with refused(
        "Fish F1 already died 1 January 2011.",
        "Fish H1 is a hybrid or of doubtful species and is not released.",
        "Fish X1 is a hybrid or of doubtful species and is not released.",
    ):
        release(manager, released(fish=("F1", "H1", "X1")))


def test_a_release_entered_late_leaves_the_count_standing(river: SimpleNamespace, manager: Actor) -> None:
    record_census(manager, Census(batch="B1", moved_on=date(2011, 10, 1), counted=550))
    release(manager, released())
    assert Account.objects.get(batch__number="B1").balance == 550
    assert Account.objects.get(kind="released").balance == 400


def test_a_code_that_was_read_links_a_recapture_for_certain(
    river: SimpleNamespace, manager: Actor, staff: Actor
) -> None:
    release(manager, released(fish=("F1",)))
    row = record_recapture(
        staff, met(marks="PIT", total_length_mm=Decimal(801), mass_g=Decimal(2400), reported_by="net fisher", notes="-")
    )
    assert (row.number, row.fish.number, row.link, row.code_read) == ("C12-08-01-1", "F1", "certain", CODES["F1"])
    assert (row.place, row.latitude, row.longitude) == tuple(HERE.values())
    assert (row.total_length_mm, row.mass_g, row.reported_by, row.alive, row.released_again) == (
        Decimal(801), Decimal(2400), "net fisher", True, True,
    )  # fmt: skip
    assert told() == ("staff", "fish recaptured", "fish F1", date(2012, 8, 1), "test")
    assert row.entry_id == last().seq


def test_a_batch_mark_links_a_recapture_probably(river: SimpleNamespace, manager: Actor, staff: Actor) -> None:
    row = release(manager, released(mark="coded wire"))
    again = record_recapture(staff, met(code=None, release=row.number, marks="coded wire"))
    assert (again.fish, again.release, again.link) == (None, row, "probable")
    assert told()[2] == f"recapture {again.number}"


def test_a_fish_without_a_mark_is_no_evidence_of_wild_origin(river: SimpleNamespace, staff: Actor) -> None:
    bare = met(code=None, marks="none found")
    with refused("Without a code or mark this is not evidence of wild origin: take a fin clip."):
        record_recapture(staff, bare, confirmed=False)
    assert record_recapture(staff, bare).link == "none"


def test_a_strange_code_is_kept_without_a_link(river: SimpleNamespace, staff: Actor) -> None:
    strange = met(code=TagCode("iso", "900215000123456"))
    with refused("Code 900215000123456 is on no fish of the register; the recapture is kept without a link."):
        record_recapture(staff, strange, confirmed=False)
    row = record_recapture(staff, strange)
    assert (row.fish, row.link, row.code_read) == (None, "none", "900215000123456")


def test_a_code_is_read_for_the_fish_that_bore_it_on_that_day(river: SimpleNamespace, staff: Actor) -> None:
    row = record_recapture(staff, met(recaptured_on=date(2000, 4, 4)))
    assert (row.fish, row.link) == (None, "none")


def test_a_fish_found_dead_is_not_released_again(river: SimpleNamespace, staff: Actor) -> None:
    assert not record_recapture(staff, met(alive=False)).released_again


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"recaptured_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"place": ""}, "The place is missing. Say where the fish was met."),
        ({"fish": "F9"}, "There is no fish F9 in the register."),
        ({"release": "R9"}, "There is no release R9 in the register."),
        ({"number": "C1"}, "This number is already used in the register. Numbers are never used twice: take another."),
        ({"latitude": None}, "The latitude is missing. Give both or neither."),
        ({"mass_g": Decimal(-1)}, "-1 g is not above zero. Measure again."),
        ({"marks": "\x0e"}, "holds a control character (U+000E)"),
    ],
)
def test_a_recapture_that_cannot_be_is_refused(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    record_recapture(staff, met(number="C1"))
    with refused(sentence):
        record_recapture(staff, met(**changes))
    assert Recapture.objects.count() == 1
