"""Quarantine: what it keeps a fish from, and that only the veterinarian ends it (common practice, no source)."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import Quarantine, QuarantineUse, Stay
from registry.operations.crossing.milt import MiltCollected, collect_milt
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import FishMove, move_fish, record_departure
from registry.operations.intake.quarantine import release_from_quarantine, set_quarantine_unit, start_quarantine
from registry.operations.people import installer
from registry.operations.places import UnitOpened, open_unit
from registry.operations.shared.entries import CrossMade, Day, Departure, ReleaseMade, SireShare, SpawningNight
from registry.operations.young.releases import release
from registry.permissions import Actor
from registry.rules.intake.quarantine import QuarantineRelease, QuarantineStart, QuarantineUnitSet
from tests.support.proof import ADMINISTERING, ENDING_QUARANTINE, ENTERING, only_those_who_may, refused, told
from tests.support.river import TANK

MAY, JUNE = date(2011, 5, 3), date(2011, 6, 1)
APART, ASIDE, OTHER_WATER = "Quarantine 1", "Tank beside it", "Mill tank"


@pytest.fixture
def apart(river: SimpleNamespace) -> SimpleNamespace:
    """The small river with a quarantine unit, a tank on the same water, and one on another water."""
    setup = installer("test")
    for unit, water in ((APART, "Mill race"), (ASIDE, "Mill race"), (OTHER_WATER, "Well")):
        open_unit(setup, UnitOpened(name=unit, kind="tank", facility="Quern Mill", water_system=water))
    set_quarantine_unit(setup, QuarantineUnitSet(unit=APART, day=date(2009, 1, 1)))
    return river


def begun(fish: str = "F1", **changes: object) -> QuarantineStart:
    return QuarantineStart(**{"fish": fish, "unit": APART, "since": MAY, "reason": "sores", **changes})


def ended(**changes: object) -> QuarantineRelease:
    whole = {"fish": "F1", "until": JUNE, "released_by": "veterinarian, licence 12", "findings": "no virus found"}
    return QuarantineRelease(**{**whole, **changes})


def crossed(day: date, sire: SireShare | None = None) -> SpawningNight:
    made = CrossMade(dam="F1", sires=(sire or SireShare(sire="M1"),), family=f"X-{day}")
    return SpawningNight(spawned_on=day, crosses=(made,))


def test_a_fish_put_into_quarantine_moves_into_its_unit(apart: SimpleNamespace, staff: Actor) -> None:
    row = start_quarantine(staff, begun())
    assert told() == ("staff", "quarantine begun", "fish F1", MAY, "test")
    assert (row.unit.name, row.since, row.until, row.reason) == (APART, MAY, None, "sores")
    stays = Stay.objects.filter(fish__number="F1").order_by("pk").values_list("unit__name", "until")
    assert list(stays) == [(TANK, MAY), (APART, None)]


def test_a_fish_in_quarantine_is_not_crossed_until_the_veterinarian_ends_it(
    apart: SimpleNamespace, staff: Actor, manager: Actor
) -> None:
    start_quarantine(staff, begun())
    with refused(f"F1 is in quarantine since 3 May 2011 ({APART}). The veterinarian's release comes first."):
        record_spawning(staff, crossed(date(2011, 5, 20)))
    release_from_quarantine(manager, ended())
    assert told()[:4] == ("manager", "quarantine ended by the veterinarian", "fish F1", JUNE)
    record_spawning(staff, crossed(JUNE))
    record_spawning(staff, crossed(date(2011, 5, 2)))  # entered late: the day before it began


def test_a_fish_in_quarantine_is_not_released(apart: SimpleNamespace, staff: Actor, manager: Actor) -> None:
    start_quarantine(staff, begun())
    with refused("F1 is in quarantine since 3 May 2011"):
        release(manager, ReleaseMade(released_on=JUNE, place="Alder Ford", fish=("F1",), permit="P"))


@pytest.mark.parametrize(
    ("unit", "why"),
    [
        (ASIDE, f"{ASIDE} is no quarantine unit and has the same water (Mill race, Quern Mill)"),
        (TANK, f"{TANK} is no quarantine unit and may share its water with others"),
    ],
)
def test_a_fish_in_quarantine_is_not_moved_among_others(
    unit: str, why: str, apart: SimpleNamespace, staff: Actor
) -> None:
    start_quarantine(staff, begun())
    with refused("F1 is in quarantine since 3 May 2011", why):
        move_fish(staff, FishMove(fish="F1", unit=unit, moved_on=JUNE))


def test_to_other_water_it_is_moved_only_after_a_second_look(apart: SimpleNamespace, staff: Actor) -> None:
    start_quarantine(staff, begun())
    move = FishMove(fish="F1", unit=OTHER_WATER, moved_on=JUNE)
    with refused(f"whatever it carries comes into the water of {OTHER_WATER} (Well, Quern Mill)"):
        move_fish(staff, move, confirmed=False)
    move_fish(staff, move)
    assert Quarantine.objects.get(until__isnull=True).fish.number == "F1"


@pytest.mark.parametrize(
    ("entry", "why"),
    [
        (begun(unit=ASIDE), f"{ASIDE} is no quarantine unit. Choose one, or have it marked as one."),
        (begun(unit="Tank 99"), "There is no holding unit “Tank 99”"),
        (begun("F9"), "There is no fish F9"),
        (begun(since=date(2999, 1, 1)), "1 January 2999 lies in the future"),
        (begun(since=date(1999, 1, 1)), "Fish F1 came 3 April 2000, after 1 January 1999"),
        (begun(since=date(2000, 4, 4)), "It came into its unit on 5 April 2000"),
    ],
)
def test_a_quarantine_that_cannot_begin_is_refused(
    entry: QuarantineStart, why: str, apart: SimpleNamespace, staff: Actor
) -> None:
    with refused(why):
        start_quarantine(staff, entry)


def test_the_water_that_a_quarantine_unit_shares_is_named(apart: SimpleNamespace, staff: Actor) -> None:
    with refused(f"{APART} shares its water (Mill race, Quern Mill) with {ASIDE}: what it carries reaches them."):
        start_quarantine(staff, begun(), confirmed=False)


def test_a_fish_is_in_one_quarantine_at_a_time(apart: SimpleNamespace, staff: Actor, manager: Actor) -> None:
    start_quarantine(staff, begun())
    with refused("Fish F1 is in quarantine since 3 May 2011. End that one first."):
        start_quarantine(staff, begun(since=JUNE))
    release_from_quarantine(manager, ended())
    with refused("An earlier quarantine of F1 lasted until 1 June 2011"):
        start_quarantine(staff, begun(since=date(2011, 5, 31)))
    start_quarantine(staff, begun(since=JUNE))


@pytest.mark.parametrize(
    ("entry", "why"),
    [
        (ended(released_by=""), "The veterinarian's role or licence number is missing"),
        (ended(findings=" "), "The finding is missing"),
        (ended(until=date(2011, 5, 2)), "Its quarantine began on 3 May 2011; it cannot end before"),
        (ended(fish="F2"), "Fish F2 is not in quarantine"),
        (ended(fish="F9"), "There is no fish F9"),
    ],
)
def test_a_quarantine_ends_only_by_a_named_veterinarian(
    entry: QuarantineRelease, why: str, apart: SimpleNamespace, staff: Actor, manager: Actor
) -> None:
    start_quarantine(staff, begun())
    with refused(why):
        release_from_quarantine(manager, entry)


def test_milt_collected_in_quarantine_waits_for_its_end(apart: SimpleNamespace, staff: Actor, manager: Actor) -> None:
    start_quarantine(staff, begun("M1"))
    lot = MiltCollected(
        number="K1", male="M1", collected_on=date(2011, 5, 9), state="frozen", doses=5, motility_percent=Decimal(80)
    )
    with refused("M1 is in quarantine: its milt is kept apart"):
        collect_milt(staff, lot, confirmed=False)
    collect_milt(staff, lot)
    record_departure(staff, Departure(fish="M1", left="died", left_on=Day(date(2011, 5, 12))))
    frozen = SireShare(sire="M1", milt_lot="K1", doses=1)
    with refused("Milt lot K1 was collected on 9 May 2011, in the quarantine of M1"):
        record_spawning(staff, crossed(date(2012, 5, 9), frozen))
    release_from_quarantine(manager, ended(fish="M1", findings="carcass and milt tested"))
    record_spawning(staff, crossed(date(2012, 5, 9), frozen))


def test_a_unit_stays_a_quarantine_unit_while_fish_are_held_in_it(
    apart: SimpleNamespace, staff: Actor, administrator: Actor
) -> None:
    start_quarantine(staff, begun())
    no_longer = QuarantineUnitSet(unit=APART, day=JUNE, serves=False)
    with refused(f"F1 is in quarantine in {APART}"):
        set_quarantine_unit(administrator, no_longer)
    with refused(f"{APART} serves for quarantine already"):
        set_quarantine_unit(administrator, QuarantineUnitSet(unit=APART, day=JUNE))
    record_departure(staff, Departure(fish="F1", left="died", left_on=Day(date(2011, 5, 12))))
    use = set_quarantine_unit(administrator, no_longer)
    assert (use.until, QuarantineUse.objects.filter(until__isnull=True).count()) == (JUNE, 0)


def test_who_may_do_what_in_quarantine(apart: SimpleNamespace, staff: Actor) -> None:
    only_those_who_may(ENTERING, lambda by: start_quarantine(by, begun()))
    only_those_who_may(ADMINISTERING, lambda by: set_quarantine_unit(by, QuarantineUnitSet(unit=TANK, day=JUNE)))
    start_quarantine(staff, begun())
    only_those_who_may(ENDING_QUARANTINE, lambda by: release_from_quarantine(by, ended()))
