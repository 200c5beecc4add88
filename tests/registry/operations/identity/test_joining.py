"""Two numbers that prove to be one fish: one fish in every question, both histories kept, and all of it undone.

F1 ─┬─ M1      X1 (♂, "wild", tagged 2012) is M1, which had lost its tag unnoticed:  F2 ─┬─ X1
  10-1                                                                               12-1
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.journal.verify import verify
from registry.models import (
    Check,
    Cross,
    Fish,
    FishDetails,
    MiltLot,
    ParentPair,
    SameFish,
    Stay,
    Stock,
    Tag,
)
from registry.operations.checks import record_measurement
from registry.operations.crossing.milt import MiltCollected, collect_milt
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import admit_fish, move_fish, record_departure
from registry.operations.identity.joining import join_numbers
from registry.operations.identity.parting import part_numbers
from registry.operations.shared.entries import (
    CrossMade,
    Day,
    Departure,
    Measurement,
    SireShare,
    SpawningNight,
    TagCode,
    TagEnd,
)
from registry.operations.tags import record_tag_lost
from registry.permissions import Actor
from registry.queries.fish.life import life_of
from registry.queries.fish.relatives import relatives
from registry.queries.pedigree import pedigree_of
from registry.queries.status.figures import status_of
from registry.queries.trace.up import lineage_of
from registry.rules.identity.joining import Joining, Parting
from registry.rules.intake.moves import FishMove
from tests.support.proof import CORRECTING, last, only_those_who_may, refused, told
from tests.support.river import CODES, POND, STOCK, TANK, founder
from tests.support.standing import standing

PROVED = date(2021, 3, 1)
NEW = TagCode("iso", "900215000123456")


@pytest.fixture
def found(river: SimpleNamespace) -> SimpleNamespace:
    """Return the river with X1, the second entry of M1: tag, check, milt and a family of its own."""
    by = river.by
    record_tag_lost(by, TagEnd(code=TagCode("iso", CODES["M1"]), ended_on=date(2012, 4, 1), end_reason="lost"))
    came = replace(founder("X1"), sex="M", caught=Day(date(2012, 4, 3)), tag=NEW, tagged_on=date(2012, 4, 3), unit=POND)
    admit_fish(by, came)
    record_measurement(by, Measurement(fish="X1", checked_on=date(2012, 4, 4), total_length_mm=Decimal(700)))
    collect_milt(by, MiltCollected(number="K1", male="X1", collected_on=date(2012, 5, 1), state="frozen", doses=9))
    share = SireShare(sire="X1", milt_lot="K1", doses=2, frozen_milt=True)
    night = CrossMade(dam="F2", sires=(share,), family="12-1")
    record_spawning(by, SpawningNight(spawned_on=date(2012, 5, 2), stock=STOCK, crosses=(night,)))
    young = replace(founder("Y1"), origin="hatchery", caught=None, hatched=Day(date(2012, 5, 12)), family="12-1")
    admit_fish(by, young)
    return river


def joining(**changes: object) -> Joining:
    choices = {"caught": "kept", "stays": "other"}
    return Joining(
        **{"kept": "M1", "other": "X1", "proved_on": PROVED, "evidence": "genotype", "reason": "no mismatch at 17 loci",
           "choices": choices, **changes}
    )  # fmt: skip


def parting() -> Parting:
    return Parting(other="X1", reason="tubes were swapped")


def figures() -> object:
    return status_of(Stock.objects.get())


def test_before_there_are_two_fish_and_after_there_is_one(found: SimpleNamespace, manager: Actor) -> None:
    before = figures()
    same = join_numbers(manager, joining())
    after = figures()
    assert (before.headline.living, after.headline.living) == (6, 5)
    assert (before.headline.founders, after.headline.founders) == (5, 4)
    assert told() == ("manager", "two numbers joined", "fish M1", PROVED, "test")
    assert last().reason == "no mismatch at 17 loci"
    assert (same.kept.number, same.other.number, same.evidence) == ("M1", "X1", "genotype")


def test_everything_of_the_other_number_follows(found: SimpleNamespace, manager: Actor) -> None:
    join_numbers(manager, joining())
    fish = Fish.objects.get(number="M1")
    assert [tag.code for tag in Tag.objects.current().filter(fish=fish)] == [CODES["M1"], NEW.code]
    assert Check.objects.current().get().fish == fish
    assert MiltLot.objects.current().get(number="K1").male == fish
    assert Cross.objects.current().get(family__number="12-1").sires.current().get().milt_lot.male == fish
    assert {(pair.dam.number, pair.sire.number) for pair in ParentPair.objects.current()} == {
        ("F1", "M1"), ("F2", "M1"),
    }  # fmt: skip
    assert not standing_rows_that_name("X1")
    young = Fish.objects.get(number="Y1")
    assert set(pedigree_of([young.pk]).ids) == {young.pk, fish.pk, Fish.objects.get(number="F2").pk}
    assert {one.number for one in relatives(fish.pk).fish.values()} == {"M1", "Y1", "F2"}


def standing_rows_that_name(number: str) -> list[str]:
    return [row for kind, rows in standing().items() for row in rows if repr(number) in row and kind != "Fish"]


def test_the_fish_was_where_the_entry_that_was_chosen_says(found: SimpleNamespace, manager: Actor) -> None:
    join_numbers(manager, joining())
    stays = Stay.objects.current().filter(fish__number="M1").order_by("since")
    assert [(stay.unit.name, stay.since, stay.until) for stay in stays] == [
        (TANK, date(2000, 4, 5), date(2012, 4, 3)), (POND, date(2012, 4, 3), None),
    ]  # fmt: skip


def test_both_histories_stay_readable(found: SimpleNamespace, manager: Actor) -> None:
    join_numbers(manager, joining())
    life = life_of("X1")
    assert [check.total_length_mm for check in life.checks] == [Decimal(700)]
    assert [tag.code for tag in life.tags] == [NEW.code]
    assert all(row.withdrawn_id == last().seq for row in (*life.versions, *life.tags, *life.stays, *life.checks))


def test_the_register_reads_as_it_was_known_before(found: SimpleNamespace, manager: Actor, time_machine) -> None:
    time_machine.move_to("2030-01-01T12:00:00Z")
    join_numbers(manager, joining())
    fish = lambda lineage: {node.number for node in lineage.nodes.values() if node.kind == "fish"}  # noqa: E731
    assert fish(lineage_of("fish", "Y1")) == {"Y1", "F2", "M1"}
    assert fish(lineage_of("fish", "Y1", date(2029, 1, 1))) == {"Y1", "F2", "X1"}
    assert fish(lineage_of("fish", "X1", date(2029, 1, 1))) == {"X1"}
    assert fish(lineage_of("fish", "X1")) == {"M1"}


def test_an_entry_that_still_names_the_second_number_means_the_fish(found: SimpleNamespace, manager: Actor) -> None:
    join_numbers(manager, joining())
    record_measurement(manager, Measurement(fish="X1", checked_on=date(2021, 4, 1), total_length_mm=Decimal(800)))
    assert Check.objects.current().get(checked_on=date(2021, 4, 1)).fish.number == "M1"
    with refused("Number X1 is already another fish."):
        admit_fish(manager, founder("X1"))


def test_undone_everything_stands_as_before(found: SimpleNamespace, manager: Actor) -> None:
    before, then = standing(), figures()
    join_numbers(manager, joining())
    joined = last()
    assert standing() != before
    part_numbers(manager, parting())
    assert standing() == before
    now = figures()
    assert now.headline == then.headline
    assert sorted(now.mean_kinship) == sorted(then.mean_kinship)
    assert now.founders == then.founders
    assert (last().what, last().subject, last().corrects) == ("joined numbers parted", "fish X1", joined)
    assert not SameFish.objects.current().exists()
    assert verify().sound


def test_joined_parted_and_joined_again(found: SimpleNamespace, manager: Actor) -> None:
    before = standing()
    join_numbers(manager, joining())
    once = standing()
    part_numbers(manager, parting())
    join_numbers(manager, joining())
    assert standing() == once
    part_numbers(manager, parting())
    assert standing() == before
    assert verify().sound


def test_what_was_written_since_stays_with_the_kept_number_and_hangs_on_what_stands(
    found: SimpleNamespace, manager: Actor
) -> None:
    join_numbers(manager, joining())
    share = SireShare(sire="M1", milt_lot="K1", doses=3, frozen_milt=True)
    night = CrossMade(dam="F1", sires=(share,), family="21-1")
    record_spawning(manager, SpawningNight(spawned_on=date(2021, 5, 2), stock=STOCK, crosses=(night,)))
    move_fish(manager, FishMove(fish="M1", unit=TANK, moved_on=date(2021, 6, 1)))
    record_tag_lost(manager, TagEnd(code=NEW, ended_on=date(2021, 7, 1), end_reason="lost"))
    part_numbers(manager, parting())
    assert MiltLot.objects.current().get(number="K1").male.number == "X1"
    assert Cross.objects.current().get(family__number="21-1").sires.current().get().milt_lot.male.number == "X1"
    assert Tag.objects.current().get(code=NEW.code).ended_on == date(2021, 7, 1)
    stays = Stay.objects.current().filter(fish__number__in=["M1", "X1"]).order_by("fish__number", "since")
    assert [(stay.fish.number, stay.unit.name, stay.until) for stay in stays] == [
        ("M1", TANK, date(2021, 6, 1)), ("M1", TANK, None), ("X1", POND, date(2021, 6, 1)),
    ]  # fmt: skip
    assert verify().sound


def test_a_death_since_stays_with_the_kept_number(found: SimpleNamespace, manager: Actor) -> None:
    join_numbers(manager, joining(choices={"caught": "other", "stays": "other"}))
    record_departure(manager, Departure(fish="M1", left="died", left_on=Day(date(2022, 1, 1))))
    part_numbers(manager, parting())
    details = {row.fish.number: row for row in FishDetails.objects.current()}
    assert (details["M1"].left, details["X1"].left) == ("died", "")
    assert details["M1"].caught_on == date(2000, 4, 3)


def test_three_numbers_of_one_fish_are_parted_in_reverse_order(found: SimpleNamespace, manager: Actor) -> None:
    before = standing()
    join_numbers(manager, joining())
    admit_fish(manager, replace(founder("M9"), caught=Day(date(1999, 5, 1)), unit=""))
    between = standing()
    join_numbers(manager, joining(kept="M9", other="M1", choices={"caught": "other"}))
    with refused("M1 was joined to M9 since. Part M1 first, then X1."):
        part_numbers(manager, parting())
    part_numbers(manager, Parting(other="M1", reason="another fish"))
    assert standing() == between
    part_numbers(manager, parting())
    without = {kind: [row for row in rows if "'M9'" not in row] for kind, rows in standing().items()}
    assert without == before
    assert verify().sound


def test_who_may_join_and_part(found: SimpleNamespace, manager: Actor) -> None:
    only_those_who_may(CORRECTING, lambda by: join_numbers(by, joining()))
    join_numbers(manager, joining())
    only_those_who_may(CORRECTING, lambda by: part_numbers(by, parting()))
