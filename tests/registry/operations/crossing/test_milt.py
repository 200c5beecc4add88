"""Milt lots: laid in, used, taken out; never more than there is."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import CrossSire, MiltLot, MiltUse
from registry.operations.crossing.milt import MiltCollected, MiltDiscarded, collect_milt, discard_milt
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import record_departure
from registry.operations.shared.entries import CrossMade, Day, Departure, SireShare, SpawningNight
from registry.permissions import Actor
from registry.queries.crosses.milt import doses_left
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import STOCK

DAY = date(2010, 5, 20)


def collected(**changes: object) -> MiltCollected:
    whole = {"number": "K1", "male": "M1", "collected_on": DAY, "state": "frozen", "doses": 10}
    return MiltCollected(**{**whole, **changes})


def taken(**changes: object) -> MiltDiscarded:
    return MiltDiscarded(**{"lot": "K1", "used_on": date(2011, 1, 3), "doses": 4, "purpose": "test", **changes})


def night(*doses: int | None, lot: str = "K1") -> SpawningNight:
    crosses = tuple(
        CrossMade(dam=dam, sires=(SireShare(sire="M1", milt_lot=lot, doses=n),), family=f"11-{dam}")
        for dam, n in zip(("F1", "F2"), doses, strict=False)
    )
    return SpawningNight(spawned_on=date(2011, 5, 2), stock=STOCK, crosses=crosses)


def test_a_lot_is_laid_in_with_its_doses(river: SimpleNamespace, staff: Actor) -> None:
    collect_milt(staff, collected(motility_percent=Decimal(80), position="dewar 1", notes="two rinses"))
    lot = MiltLot.objects.get()
    assert (lot.number, lot.male.number, lot.collected_on, lot.state, lot.doses) == ("K1", "M1", DAY, "frozen", 10)
    assert (lot.motility_percent, lot.position, lot.notes) == (Decimal(80), "dewar 1", "two rinses")
    assert told() == ("staff", "milt collected", "milt lot K1", DAY, "test")
    assert lot.entry_id == last().seq


def test_who_may_handle_milt(river: SimpleNamespace, staff: Actor) -> None:
    only_those_who_may(ENTERING, lambda by: collect_milt(by, collected()))
    collect_milt(staff, collected())
    only_those_who_may(ENTERING, lambda by: discard_milt(by, taken()))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"male": "M9"}, "There is no fish M9 in the register."),
        ({"male": "F1"}, "F1 is recorded as female and cannot be a sire. Look at the fish again."),
        ({"doses": 0}, "0 doses cannot be laid in. Count again."),
        ({"state": "warm"}, "Say whether the milt is fresh or frozen."),
        ({"position": "\x03"}, "holds a control character (U+0003)"),
    ],
)
def test_a_lot_that_cannot_be_is_refused(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        collect_milt(staff, collected(**changes))


def test_a_lot_number_is_used_once_and_no_milt_comes_from_a_dead_male(river: SimpleNamespace, staff: Actor) -> None:
    collect_milt(staff, collected())
    with refused("Lot k1 is in the register. Take another number."):
        collect_milt(staff, collected(number="k1"))
    record_departure(staff, Departure(fish="M2", left="died", left_on=Day(date(2010, 5, 1))))
    with refused("M2 died 1 May 2010, earlier."):
        collect_milt(staff, collected(number="K2", male="M2"))


def test_doses_taken_out_leave_fewer_and_never_below_zero(river: SimpleNamespace, staff: Actor) -> None:
    lot = collect_milt(staff, collected())
    discard_milt(staff, taken())
    assert doses_left(lot) == 6
    assert told() == ("staff", "milt taken out", "milt lot K1", date(2011, 1, 3), "test")
    for doses in (7, 0, -1):
        with refused(f"Lot K1 has 6 doses left, not {doses}."):
            discard_milt(staff, taken(doses=doses))
    with refused("There is no milt lot K9."):
        discard_milt(staff, taken(lot="K9"))
    discard_milt(staff, taken(doses=6))
    assert doses_left(lot) == 0


def test_a_spawning_takes_the_doses_that_it_uses(river: SimpleNamespace, staff: Actor) -> None:
    lot = collect_milt(staff, collected())
    record_spawning(staff, night(3, None))
    assert list(MiltUse.objects.order_by("pk").values_list("doses", "purpose")) == [
        (3, "fertilisation"),
        (1, "fertilisation"),
    ]
    assert doses_left(lot) == 6
    used = CrossSire.objects.filter(milt_lot=lot)
    assert [row.frozen_milt for row in used] == [True, True]


def test_a_spawning_does_not_use_more_doses_than_there_are(river: SimpleNamespace, staff: Actor) -> None:
    collect_milt(staff, collected())
    with refused("Milt lot K1 has 10 doses left, not 11."):
        record_spawning(staff, night(11))


def test_two_crosses_of_one_night_share_the_doses_that_are_left(river: SimpleNamespace, staff: Actor) -> None:
    collect_milt(staff, collected())
    with refused("Milt lot K1 has 4 doses left, not 6."):
        record_spawning(staff, night(6, 6))


def test_a_spawning_uses_at_least_one_dose(river: SimpleNamespace, staff: Actor) -> None:
    collect_milt(staff, collected())
    for doses in (0, -2):
        with refused(f"{doses} doses cannot be taken. Count again."):
            record_spawning(staff, night(doses))


def test_frozen_milt_of_a_dead_male_is_used(river: SimpleNamespace, staff: Actor) -> None:
    collect_milt(staff, collected())
    record_departure(staff, Departure(fish="M1", left="died", left_on=Day(date(2010, 12, 1))))
    with refused("M1 died 1 December 2010; its frozen milt is noted."):
        record_spawning(staff, night(2), confirmed=False)
    record_spawning(staff, night(2))
    assert CrossSire.objects.get(sire__number="M1", cross__family__number="11-F1").milt_lot.number == "K1"


def test_milt_is_not_collected_in_the_future_nor_more_motile_than_wholly(river: SimpleNamespace, staff: Actor) -> None:
    with refused("1 January 2999 lies in the future. Correct the day.", "101 is not between 0 and 100 per cent."):
        collect_milt(staff, collected(collected_on=date(2999, 1, 1), motility_percent=Decimal(101)))


def test_doses_are_taken_out_after_the_milt_was_laid_in_and_not_in_the_future(
    river: SimpleNamespace, staff: Actor
) -> None:
    collect_milt(staff, collected())
    with refused("Lot K1 was collected on 20 May 2010, after 1 May 2010. Correct the day."):
        discard_milt(staff, taken(used_on=date(2010, 5, 1)))
    with refused("1 January 2999 lies in the future. Correct the day."):
        discard_milt(staff, taken(used_on=date(2999, 1, 1)))
