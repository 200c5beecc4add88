"""Moving fish between accounts: the transfer, the kept balances, and the counts that must stand."""

from dataclasses import replace
from datetime import date
from typing import Any

from registry.journal.write import Entry
from registry.models import Account, Batch, Family, Stay, Transfer
from registry.operations.shared.desk import Desk
from registry.rules.known import KnownBatch, Movement
from registry.rules.young.ledger import next_census

Kind = Account.Kind
Event = Transfer.Event


def account(desk: Desk, made: Entry, kind: str, owner: Batch | Family | None = None) -> Account:
    """Return the account of a batch or family, or the one account of a kind; opened when it is first needed."""
    key = (Account, f"{kind} {owner.number if owner else ''}")
    if key in desk.new:
        return desk.new[key]
    column = {Batch: "batch", Family: "family"}.get(type(owner))
    owned = {column: owner} if column else {}
    found = None
    if owner is None or owner.pk is not None:
        found = Account.objects.filter(kind=kind, **owned).first()
    desk.new[key] = found or made.add(Account(kind=kind, **owned))
    return desk.new[key]


def move(desk: Desk, made: Entry, event: str, ends: tuple[Account, Account], count: int, **more: Any) -> None:
    """Move `count` fish between two accounts on `more["moved_on"]`; a later count of either batch stands."""
    _book(made, event, ends, count, **more)
    for end, change in zip(ends, (-count, count), strict=True):
        let_count_stand(desk, made, end, change, (more["moved_on"], None))


def let_count_stand(desk: Desk, made: Entry, end: Account, change: int, when: tuple[date, int | None]) -> None:
    """Book the counter-correction on the day of a batch's next count: what was counted then was there then.

    `when` is the day of the change and, where an earlier movement is changed, the order of that one.
    """
    batch = desk.known.find_batch(end.batch.number) if end.kind == Kind.BATCH else None
    census = next_census(batch, *when) if batch and change else None
    if census is not None:
        note = f"The count of {census.counted} that day stands; an earlier entry came or changed afterwards."
        ends = correction_ends(desk, made, end, -change)
        _book(made, Event.CENSUS, ends, abs(change), moved_on=census.moved_on, notes=note)


def order_of(record: Transfer) -> int:
    """Return the key of the transfer that this one stands for after however many corrections."""
    entry = record.entry
    while entry.corrects:
        entry = entry.corrects
    ends = {"from_account": record.from_account_id, "to_account": record.to_account_id}
    first = Transfer.objects.filter(entry=entry, event=record.event, **ends).order_by("pk").first()
    return first.pk if first else record.pk


def put_in_order(batch: KnownBatch, record: Transfer) -> None:
    """Put a corrected transfer among a batch's movements where it was first entered, before later counts of its day."""
    order = order_of(record)
    batch.movements = [replace(one, order=order) if one.order == record.pk else one for one in batch.movements]


def _book(made: Entry, event: str, ends: tuple[Account, Account], count: int, **more: Any) -> None:
    source, target = ends
    made.add(Transfer(event=event, from_account=source, to_account=target, count=count, **more))
    made.move(source, -count)
    made.move(target, count)


def note_change(batch: KnownBatch | None, day: date, event: str, change: int, counted: int | None = None) -> None:
    """Note a change of a batch's count, as `move` books it, so that later entries are judged by it."""
    if batch is None:
        return
    census = next_census(batch, day)
    last = max((m.order for m in batch.movements), default=0)
    batch.movements.append(Movement(day, last + 1, event, change, counted=counted))
    if census is not None:
        batch.movements.append(Movement(census.moved_on, last + 2, Event.CENSUS, -change))


def correction_ends(desk: Desk, made: Entry, end: Account, difference: int) -> tuple[Account, Account]:
    """Return the two accounts of a correction that adds `difference` fish to a batch (or takes them out)."""
    correction = account(desk, made, Kind.CORRECTION)
    return (correction, end) if difference > 0 else (end, correction)


def stay_in(desk: Desk, made: Entry, batch: Batch, unit: str, day: date) -> None:
    """Note that a batch is in a unit from a day on; its earlier stay ends."""
    if not unit:
        return
    if batch.pk is not None:
        desk.door.write_rows()
        for stay in Stay.objects.current().filter(batch=batch, until__isnull=True):
            made.end(stay, until=max(day, stay.since))
    made.add(Stay(unit=desk.unit(unit), batch=batch, since=day))
