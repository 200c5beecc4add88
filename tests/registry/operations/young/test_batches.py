"""Batches: opened, taken from, counted, split, merged, moved; no fish from nowhere, none to nowhere."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.db.models import Sum

from registry.models import Account, Batch, Stay, Transfer
from registry.operations.catalogue import StockOpened, open_stock
from registry.operations.crossing.spawning import record_spawning
from registry.operations.shared.entries import (
    BatchMarking,
    BatchMove,
    BatchOpening,
    Census,
    CrossMade,
    FamilyShare,
    Merge,
    SireShare,
    SpawningNight,
    Split,
    Taking,
)
from registry.operations.young.batches import (
    mark_batch,
    merge_batches,
    move_batch,
    open_batch,
    record_census,
    record_loss,
    split_batch,
)
from registry.permissions import Actor
from registry.queries.composition import family_shares
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import POND, STOCK, TANK

MAY, JUNE, JULY = date(2010, 5, 10), date(2010, 6, 1), date(2010, 7, 1)
HALF = Decimal("0.5")


def opening(**changes: object) -> BatchOpening:
    whole = {"number": "B2", "opened_on": MAY, "count": 500, "families": (FamilyShare(family="10-1"),)}
    return BatchOpening(**{**whole, **changes})


def lost(count: int = 100, day: date = JUNE, **changes: object) -> Taking:
    return Taking(**{"batch": "B1", "moved_on": day, "count": count, **changes})


def counted(fish: int, day: date = JULY, **changes: object) -> Census:
    return Census(**{"batch": "B1", "moved_on": day, "counted": fish, **changes})


def split(**changes: object) -> Split:
    return Split(**{"batch": "B1", "new_number": "B3", "moved_on": JUNE, "count": 300, **changes})


def merge(**changes: object) -> Merge:
    return Merge(**{"batch": "B1", "into": "B2", "moved_on": JUNE, "count": 400, **changes})


def held(batch: str = "B1", day: date | None = None) -> int:
    """Return the kept balance, having compared it with the transfers; on a day, from the transfers."""
    account = Account.objects.get(batch__number=batch)
    rows = Transfer.objects.current()
    rows = rows if day is None else rows.filter(moved_on__lte=day)
    came = rows.filter(to_account=account).aggregate(n=Sum("count"))["n"] or 0
    went = rows.filter(from_account=account).aggregate(n=Sum("count"))["n"] or 0
    assert day is not None or account.balance == came - went
    return came - went


def second_family(by: Actor) -> None:
    cross = CrossMade(dam="F2", sires=(SireShare(sire="M2"),), family="10-2")
    record_spawning(by, SpawningNight(spawned_on=date(2010, 5, 2), stock=STOCK, crosses=(cross,)))


def test_a_batch_is_opened_with_fish_of_its_families(river: SimpleNamespace, staff: Actor) -> None:
    second_family(staff)
    shares = (FamilyShare(family="10-1", share=Decimal("0.334")), FamilyShare(family="10-2", share=Decimal("0.666")))
    batch = open_batch(
        staff, opening(count=1000, families=shares, unit=TANK, stage="larvae", method="volumetric", uncertainty=50)
    )
    rows = Transfer.objects.filter(to_account__batch=batch).order_by("pk")
    assert [(r.event, r.from_account.family.number, r.count) for r in rows] == [
        ("open", "10-1", 334),
        ("open", "10-2", 666),
    ]
    assert {(r.stage, r.method, r.uncertainty, r.moved_on) for r in rows} == {("larvae", "volumetric", 50, MAY)}
    assert (batch.stock.name, batch.opened_on, held("B2")) == (STOCK, MAY, 1000)
    assert Stay.objects.get(batch=batch).unit.name == TANK
    assert told() == ("staff", "batch opened", "batch B2", MAY, "test")
    assert batch.entry_id == last().seq


@pytest.mark.parametrize(
    ("event", "account", "what"),
    [
        ("loss", "loss", "loss recorded"),
        ("sample", "sample", "sample recorded"),
        ("cull", "cull", "cull recorded"),
        ("transfer", "transferred", "transferred out recorded"),
    ],
)
def test_fish_taken_out_go_to_their_own_account(
    river: SimpleNamespace, staff: Actor, event: str, account: str, what: str
) -> None:
    record_loss(staff, lost(event=event, stage="fry", notes="cold night"))
    row = Transfer.objects.get(event=event)
    assert (row.to_account.kind, row.to_account.balance, row.count, row.stage) == (account, 100, 100, "fry")
    assert held() == 900
    assert told() == ("staff", what, "batch B1", JUNE, "test")


def test_a_count_books_its_difference_as_a_correction(river: SimpleNamespace, staff: Actor) -> None:
    record_census(staff, counted(930, method="weighed", uncertainty=20, stage="fry"))
    row = Transfer.objects.get(counted=930)
    assert (row.event, row.to_account.kind, row.count, row.method, row.uncertainty) == (
        "census", "correction", 70, "weighed", 20,
    )  # fmt: skip
    assert told() == ("staff", "batch counted", "batch B1", JULY, "test")
    record_census(staff, counted(940, date(2010, 8, 1)))
    assert Transfer.objects.get(counted=940).from_account.kind == "correction"
    assert held() == 940


def test_a_count_may_find_what_the_books_say_or_nothing(river: SimpleNamespace, staff: Actor) -> None:
    record_census(staff, counted(1000))
    assert Transfer.objects.get(counted=1000).count == 0
    record_census(staff, counted(0, date(2010, 8, 1)))
    assert held() == 0


def test_a_loss_entered_late_leaves_the_count_standing(river: SimpleNamespace, staff: Actor) -> None:
    record_census(staff, counted(930))
    record_loss(staff, lost(50))
    assert (held(day=JUNE), held(day=JULY), held()) == (950, 930, 930)
    stands = Transfer.objects.filter(event="census").order_by("pk").last()
    assert (stands.moved_on, stands.count, stands.from_account.kind, stands.counted) == (JULY, 50, "correction", None)
    assert stands.notes == "The count of 930 that day stands; an earlier entry came or changed afterwards."


def test_fish_that_came_late_into_a_counted_batch_leave_its_count_standing(
    river: SimpleNamespace, staff: Actor
) -> None:
    open_batch(staff, opening())
    record_census(staff, counted(480, batch="B2"))
    merge_batches(staff, merge())
    assert (held("B2", JUNE), held("B2"), held("B1")) == (900, 480, 600)


def test_a_late_loss_is_measured_by_the_days_before_the_count(river: SimpleNamespace, staff: Actor) -> None:
    record_loss(staff, lost(800, date(2010, 6, 10)))
    record_census(staff, counted(900))
    with refused("Taking 300 out of batch B1 on 1 June 2010 leaves 100 too few for later entries."):
        record_loss(staff, lost(300))


def test_a_late_count_is_measured_by_the_days_after_it(river: SimpleNamespace, staff: Actor) -> None:
    record_loss(staff, lost(500, date(2010, 6, 10)))
    record_census(staff, counted(700))
    with refused("A count of 100 on 1 June 2010 leaves 400 too few for later entries. Correct the count or the later"):
        record_census(staff, counted(100, JUNE))
    record_census(staff, counted(500, JUNE))
    assert (held(day=date(2010, 6, 10)), held()) == (0, 700)


def test_a_split_keeps_the_families_in_both_parts(river: SimpleNamespace, staff: Actor) -> None:
    second_family(staff)
    open_batch(
        staff, opening(families=(FamilyShare(family="10-1", share=HALF), FamilyShare(family="10-2", share=HALF)))
    )
    part = split_batch(staff, split(batch="B2", count=120, unit=TANK))
    assert (held("B2"), held("B3"), part.stock.name, part.opened_on) == (380, 120, STOCK, JUNE)
    assert family_shares(part) == family_shares(Batch.objects.get(number="B2")) == {"10-1": HALF, "10-2": HALF}
    assert Stay.objects.get(batch=part).unit.name == TANK
    assert told() == ("staff", "batch split", "batch B3", JUNE, "test")


def test_a_merge_adds_the_families_of_both(river: SimpleNamespace, staff: Actor) -> None:
    second_family(staff)
    open_batch(staff, opening(count=100, families=(FamilyShare(family="10-2"),)))
    into = merge_batches(staff, merge(count=300, unit=TANK))
    assert (held("B1"), held("B2")) == (700, 400)
    assert family_shares(into) == {"10-1": Decimal("0.75"), "10-2": Decimal("0.25")}
    assert Stay.objects.get(batch=into).unit.name == TANK
    assert told() == ("staff", "batches merged", "batch B2", JUNE, "test")


def test_a_batch_moves_and_its_earlier_stay_ends(river: SimpleNamespace, staff: Actor) -> None:
    move_batch(staff, BatchMove(batch="B1", moved_on=JUNE, unit=TANK))
    stays = Stay.objects.filter(batch__number="B1").order_by("pk").values_list("unit__name", "since", "until")
    assert list(stays) == [(POND, MAY, JUNE), (TANK, JUNE, None)]
    assert told() == ("staff", "batch moved", "batch B1", JUNE, "test")


def test_who_may_handle_batches(river: SimpleNamespace, staff: Actor) -> None:
    open_batch(staff, opening())
    only_those_who_may(ENTERING, lambda by: open_batch(by, opening(number="B9")))
    only_those_who_may(ENTERING, lambda by: record_loss(by, lost()))
    only_those_who_may(ENTERING, lambda by: record_census(by, counted(930)))
    only_those_who_may(ENTERING, lambda by: split_batch(by, split()))
    only_those_who_may(ENTERING, lambda by: merge_batches(by, merge()))
    only_those_who_may(ENTERING, lambda by: move_batch(by, BatchMove(batch="B1", moved_on=JUNE, unit=TANK)))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"number": ""}, "The batch number is missing. Every batch needs one."),
        ({"number": "b1"}, "Number b1 is already another batch. Take another."),
        ({"opened_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"count": 0}, "0 fish cannot open a batch. Give how many there are."),
        ({"families": ()}, "No family was named. Say whose young these are."),
        ({"families": (FamilyShare(family="77"),)}, "There is no family 77 in the register."),
        ({"families": (FamilyShare(family="10-1", share=HALF),)}, "The shares of the families do not sum to 1."),
        ({"unit": "Tank 9"}, "There is no holding unit “Tank 9”. Choose one, or have it opened."),
        ({"notes": "\x04"}, "holds a control character (U+0004)"),
    ],
)
def test_a_batch_that_cannot_be_is_not_opened(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        open_batch(staff, opening(**changes))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"batch": "B9"}, "There is no batch B9 in the register. Open it first."),
        ({"count": 0}, "Nothing was counted. Give how many fish."),
        ({"count": -5}, "-5 is below zero. Give how many fish, as a whole number."),
        ({"count": 1001}, "Batch B1 holds 1000 fish on 1 June 2010, not 1001. Count it, or correct the number."),
        ({"day": date(2010, 5, 1)}, "Batch B1 was opened on 10 May 2010, after 1 May 2010. Correct the day."),
        ({"day": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"event": "eaten"}, "“eaten” is not one of loss, sample, cull, transfer. Choose one."),
    ],
)
def test_fish_that_are_not_there_are_not_taken_out(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        record_loss(staff, lost(**changes))


def test_a_count_that_cannot_be_is_refused(river: SimpleNamespace, staff: Actor) -> None:
    with refused("-1 is below zero. Count again."):
        record_census(staff, counted(-1))
    with refused("There is no batch B9 in the register. Open it first."):
        record_census(staff, counted(1, batch="B9"))
    with refused("Batch B1 was opened on 10 May 2010, after 1 May 2010. Correct the day."):
        record_census(staff, counted(1, date(2010, 5, 1)))
    with refused("1 January 2999 lies in the future. Correct the day."):
        record_census(staff, counted(1, date(2999, 1, 1)))


def test_a_split_passes_marks_on_in_proportion_and_only_those_of_earlier_days(
    river: SimpleNamespace, staff: Actor
) -> None:
    for detail, day, count in (("red, left", MAY, None), ("blue, right", MAY, 200), ("green", JULY, None)):
        mark = {"kind": "elastomer", "detail": detail, "marked_on": day, "count": count}
        mark_batch(staff, BatchMarking(batch="B1", **mark))
    part = split_batch(staff, split(count=300))
    # 200 of the 1,000 fish bore the blue mark: of 300 taken at random 300 × 200 / 1000 = 60 are expected to.
    assert list(part.marks.order_by("pk").values_list("detail", "count")) == [("red, left", None), ("blue, right", 60)]
    assert list(Batch.objects.get(number="B1").marks.values_list("count", flat=True)) == [None, 200, None]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"batch": "B9"}, "There is no batch B9 in the register. Open it first."),
        ({"new_number": "B1"}, "Number B1 is already another batch. Take another."),
        ({"count": 1001}, "Batch B1 holds 1000 fish on 1 June 2010, not 1001."),
        ({"count": 0}, "Nothing was counted. Give how many fish go into the new batch."),
        ({"unit": "Tank 9"}, "There is no holding unit “Tank 9”. Choose one, or have it opened."),
    ],
)
def test_a_split_that_cannot_be_is_refused(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        split_batch(staff, split(**changes))


def test_a_merge_that_cannot_be_is_refused(river: SimpleNamespace, staff: Actor, administrator: Actor) -> None:
    with refused("A batch cannot be merged into itself. Choose another."):
        merge_batches(staff, merge(into="b1"))
    with refused("There is no batch B8 in the register.", "There is no batch B9 in the register."):
        merge_batches(staff, merge(batch="B8", into="B9"))
    open_batch(staff, opening(opened_on=JULY))
    with refused("Batch B2 was opened on 1 July 2010, after 1 June 2010. Correct the day."):
        merge_batches(staff, merge())
    with refused("Batch B1 holds 1000 fish on 1 July 2010, not 1001."):
        merge_batches(staff, merge(moved_on=JULY, count=1001))


def test_stocks_are_not_mixed_in_a_batch(river: SimpleNamespace, staff: Actor, administrator: Actor) -> None:
    open_stock(administrator, StockOpened(name="Upper Isendre", species="ruthenus"))
    cross = CrossMade(dam="F2", sires=(SireShare(sire="M2"),), family="10-9")
    record_spawning(staff, SpawningNight(spawned_on=date(2010, 5, 2), stock="Upper Isendre", crosses=(cross,)))
    open_batch(staff, opening(families=(FamilyShare(family="10-9"),)))
    with refused("B1 is of stock Lower Isendre, B2 of Upper Isendre. Stocks are not mixed."):
        merge_batches(staff, merge())


def test_a_batch_moves_only_to_a_unit_that_is_there(river: SimpleNamespace, staff: Actor) -> None:
    with refused("There is no holding unit “Tank 9”. Choose one, or have it opened."):
        move_batch(staff, BatchMove(batch="B1", moved_on=JUNE, unit="Tank 9"))
    with refused("The holding unit is missing. Say where the batch goes."):
        move_batch(staff, BatchMove(batch="B1", moved_on=JUNE, unit=""))
    with refused("Batch B1 was opened on 10 May 2010, after 1 May 2010. Correct the day."):
        move_batch(staff, BatchMove(batch="B1", moved_on=date(2010, 5, 1), unit=TANK))


def marked(**changes: object) -> BatchMarking:
    whole = {"batch": "B1", "kind": "elastomer", "detail": "red, left snout", "marked_on": JUNE, "count": 400}
    return BatchMarking(**{**whole, **changes})


def test_a_batch_bears_its_mark_and_the_journal_says_who_gave_it(river: SimpleNamespace) -> None:
    mark = mark_batch(river.by, marked())

    assert (str(mark), mark.batch, mark.count) == ("elastomer red, left snout", river.batch, 400)
    assert told()[1:4] == ("batch marked", "batch B1", JUNE)
    only_those_who_may(ENTERING, lambda by: mark_batch(by, marked(kind="fin clip", detail="")))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"batch": "B77"}, "There is no batch B77 in the register."),
        ({"kind": "paint"}, "“paint” is not one of coded wire, elastomer, fin clip, genetic parentage, other."),
        ({"kind": "other", "detail": " "}, "Say which mark it is: no kind of the list names it."),
        ({"marked_on": date(2010, 5, 9)}, "Batch B1 was opened on 10 May 2010, after 9 May 2010."),
        ({"marked_on": date(2999, 1, 1)}, "1 January 2999 lies in the future."),
        ({"count": 1001}, "Batch B1 holds 1000 fish on 1 June 2010, so 1001 cannot have been marked."),
        ({"count": 0}, "so 0 cannot have been marked"),
    ],
)
def test_a_mark_that_cannot_be_is_refused(river: SimpleNamespace, changes: dict, sentence: str) -> None:
    with refused(sentence):
        mark_batch(river.by, marked(**changes))


def test_fish_marked_in_the_morning_may_be_gone_in_the_evening(river: SimpleNamespace) -> None:
    record_loss(river.by, lost(1000))
    assert mark_batch(river.by, marked(count=1000)).count == 1000

    with refused("Batch B1 holds no fish on 1 July 2010."):
        mark_batch(river.by, marked(marked_on=JULY, count=None))


def test_a_batch_is_not_opened_before_its_family_was_spawned(river: SimpleNamespace, staff: Actor) -> None:
    with refused("Family 10-1 was spawned on 1 May 2010, after 30 April 2010. Correct one of them."):
        open_batch(staff, opening(opened_on=date(2010, 4, 30)))
    open_batch(staff, opening(opened_on=date(2010, 5, 1)))
