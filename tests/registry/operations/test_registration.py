"""Fish tagged out of a batch: each inherits the batch's composition of that day as its parentage."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import Account, FishDetails, Tag, Transfer
from registry.operations.crossing.spawning import record_spawning
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import (
    Admission,
    BatchOpening,
    CrossMade,
    FamilyShare,
    Merge,
    Registration,
    SireShare,
    SpawningNight,
    TagCode,
)
from registry.operations.young.batches import merge_batches, open_batch
from registry.permissions import Actor
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import CODES, STOCK, TANK

DAY = date(2011, 5, 20)
CODE = TagCode("iso", "900215000123456")


def registered(*fish: Admission, **changes: object) -> Registration:
    whole = {"batch": "B1", "moved_on": DAY, "fish": fish or (Admission(number="Y1"), Admission(number="Y2"))}
    return Registration(**{**whole, **changes})


def parents(number: str) -> dict[tuple[str, str], Decimal]:
    rows = FishDetails.objects.current().get(fish__number=number).parentage.pairs.all()
    return {(row.dam.number, row.sire.number): row.probability for row in rows}


def mixture(by: Actor) -> None:
    """B1 (1,000 of F1 × M1) receives 1,000 of the pooled family 10-2: F2 × M1 or M2.

    B1 1,000 of 10-1 ─┐
    B2 1,000 of 10-2 ─┴─ B1: half and half
    """
    half = Decimal("0.5")
    sires = (SireShare(sire="M1", share=half), SireShare(sire="M2", share=half))
    cross = CrossMade(dam="F2", sires=sires, family="10-2")
    record_spawning(by, SpawningNight(spawned_on=date(2010, 5, 2), stock=STOCK, crosses=(cross,)))
    families = (FamilyShare(family="10-2"),)
    open_batch(by, BatchOpening(number="B2", opened_on=date(2010, 5, 11), count=1000, families=families))
    merge_batches(by, Merge(batch="B2", into="B1", moved_on=date(2010, 9, 1), count=1000))


def test_fish_of_one_family_are_of_that_family(river: SimpleNamespace, staff: Actor) -> None:
    register_individuals(staff, registered(Admission(number="Y1", sex="F", tag=CODE, unit=TANK)))
    row = FishDetails.objects.get(fish__number="Y1")
    assert (row.family.number, row.from_batch.number, row.origin, row.sex) == ("10-1", "B1", "hatchery", "F")
    assert (row.stock.name, row.species.key, row.hatched_on.year, row.hatched_precision) == (
        STOCK, "ruthenus", 2010, "year",
    )  # fmt: skip
    assert parents("Y1") == {("F1", "M1"): 1}
    tag = Tag.objects.get(code=CODE.code)
    assert (tag.fish.number, tag.attached_on) == ("Y1", DAY)
    assert told() == ("staff", "fish registered from batch", "batch B1", DAY, "test")
    assert row.entry_id == last().seq


def test_registered_fish_leave_the_count_of_their_batch(river: SimpleNamespace, staff: Actor) -> None:
    register_individuals(staff, registered())
    row = Transfer.objects.get(event="register")
    assert (row.count, row.to_account.kind, row.to_account.balance) == (2, "registered", 2)
    assert Account.objects.get(batch__number="B1").balance == 998


def test_fish_of_a_mixed_batch_have_its_shares_as_their_parents(river: SimpleNamespace, staff: Actor) -> None:
    mixture(staff)
    register_individuals(staff, registered())
    quarter = Decimal("0.25")
    assert parents("Y1") == {("F1", "M1"): Decimal("0.5"), ("F2", "M1"): quarter, ("F2", "M2"): quarter}
    rows = FishDetails.objects.filter(fish__number__in=("Y1", "Y2"))
    assert {(row.family, row.parentage.basis) for row in rows} == {(None, "mixed")}
    assert len({row.parentage_id for row in rows}) == 1


def test_what_counts_is_the_composition_of_the_day_of_tagging(river: SimpleNamespace, staff: Actor) -> None:
    mixture(staff)
    register_individuals(staff, registered(moved_on=date(2010, 8, 31)))
    assert parents("Y1") == {("F1", "M1"): 1}


def test_who_may_register_fish(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: register_individuals(by, registered()))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"batch": "B9"}, "There is no batch B9 in the register. Open it first."),
        ({"moved_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"moved_on": date(2010, 5, 1)}, "Batch B1 was opened on 10 May 2010, after 1 May 2010."),
        ({"fish": (Admission(number="F1"),)}, "Number F1 is already another fish."),
        ({"fish": (Admission(number="Y1"),) * 2}, "Number Y1 is given to 2 fish."),
        ({"fish": (Admission(number="Y1", tag=CODE), Admission(number="Y2", tag=CODE))}, "is given to 2 fish."),
        ({"fish": (Admission(number="Y1", tag=TagCode("iso", CODES["F1"])),)}, "is active on fish F1 since"),
        ({"fish": (Admission(number="Y1", unit="Tank 9"),)}, "There is no holding unit “Tank 9”."),
        ({"notes": "\x05"}, "holds a control character (U+0005)"),
    ],
)
def test_fish_that_cannot_be_of_the_batch_are_not_registered(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        register_individuals(staff, registered(**changes))


def test_a_registration_names_fish(river: SimpleNamespace, staff: Actor) -> None:
    with refused("No fish were entered. Give at least one number."):
        register_individuals(staff, Registration(batch="B1", moved_on=DAY, fish=()))


def test_no_more_fish_are_registered_than_the_batch_holds(river: SimpleNamespace, staff: Actor) -> None:
    families = (FamilyShare(family="10-1"),)
    open_batch(staff, BatchOpening(number="B2", opened_on=date(2010, 5, 11), count=1, families=families))
    with refused("Batch B2 holds 1 fish on 20 May 2011, not 2. Count it, or correct the number."):
        register_individuals(staff, registered(batch="B2"))
