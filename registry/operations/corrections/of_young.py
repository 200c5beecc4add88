"""What is asked of ledger movements, releases and marks of batches as they should stand, and how they are written."""

from typing import Any

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import BatchMark, Record, ReleaseDetails, Stay, Transfer
from registry.operations.corrections.asked import Correction
from registry.operations.shared.desk import Desk
from registry.operations.shared.ledger import let_count_stand, order_of, put_in_order
from registry.operations.shared.stays import judge_stay, let_stay_before_end, stay_before
from registry.queries.known import Named
from registry.rules.known import Known
from registry.rules.tagging import BatchMarking, objections_to_marking
from registry.rules.young.ledger import objections_to_taking
from registry.rules.young.releases import ReleaseMade, objections_to_circumstances


def named_by_transfer(entry: Correction) -> Named:
    """Return the batches between which fish were moved."""
    record: Any = entry.record
    return Named(batches={end.batch.number for end in (record.from_account, record.to_account) if end.batch})


def named_by_row_of_batch(entry: Correction) -> Named:
    """Return the batch whose row it is."""
    record: Any = entry.record
    return Named(batches={record.batch.number})


def named_by_stay(entry: Correction) -> Named:
    """Return whose stay it is."""
    record: Any = entry.record
    return Named(batches={record.batch.number}) if record.batch else Named(fish={record.fish.number})


def judge_release(_entry: Correction, row: ReleaseDetails, _known: Known) -> list[Objection]:
    """Return what is in the way of a release's details as they should stand."""
    made = ReleaseMade(
        released_on=row.release.released_on,
        place=row.place,
        latitude=row.latitude,
        longitude=row.longitude,
        mean_mass_g=row.mean_mass_g,
    )
    return [o for o in objections_to_circumstances(made) if not o.warning]


def judge_mark_of_batch(entry: Correction, row: BatchMark, known: Known) -> list[Objection]:
    """Return what is in the way of a batch's mark as it should stand, and whom it was passed on to."""
    record: Any = entry.record
    told = {name: getattr(row, name) for name in ("kind", "detail", "marked_on", "count")}
    found = objections_to_marking(BatchMarking(batch=row.batch.number, **told), known)
    same = {name: getattr(record, name) for name in ("kind", "detail", "marked_on")}
    others = BatchMark.objects.current().filter(**same).exclude(batch=record.batch_id).order_by("batch__number")
    numbers = list(dict.fromkeys(others.values_list("batch__number", flat=True)))
    if numbers:
        text = f"The same mark stands at batch {', '.join(numbers)}. If it came from here by a split, correct it there."
        found.append(Objection("passed_on", "detail", text, warning=True))
    return found


def judge_stay_of(entry: Correction, row: Stay, known: Known) -> list[Objection]:
    """Return what is in the way of a stay as it should stand."""
    record: Any = entry.record
    return judge_stay(row, record, known)


def write_stay(_desk: Desk, made: Entry, record: Stay, row: Stay) -> Record:
    """Write the stay; the one before it ended on its first day."""
    made.withdraw(record)
    let_stay_before_end(made, stay_before(record), row)
    return made.add(row)


def judge_transfer(entry: Correction, _row: Transfer, known: Known) -> list[Objection]:
    """Return why so many fish cannot have been moved."""
    record: Any = entry.record
    count = entry.changes.get("count", record.count)
    if record.event == Transfer.Event.CENSUS:
        return [Objection("not_correctable", "count", "A count is corrected by counting again: enter a new count.")]
    if count <= 0:
        text = f"{count} is not above zero. Give how many fish, as a whole number."
        return [Objection("negative", "count", text, str(count))]
    found: list[Objection] = []
    more = count - record.count
    for end, change in ((record.from_account.batch, -more), (record.to_account.batch, more)):
        batch = known.find_batch(end.number) if end else None
        if batch and change < 0:
            put_in_order(batch, record)
            found += objections_to_taking(batch, record.moved_on, -change, after=order_of(record))
    return found


def write_transfer(desk: Desk, made: Entry, record: Transfer, row: Transfer) -> Record:
    """Take the transfer back and book the right one; kept balances follow, and counts made after it stand."""
    made.withdraw(record)
    ends = (record.from_account, record.to_account)
    made.move(ends[0], record.count - row.count)
    made.move(ends[1], row.count - record.count)
    for end, change in zip(ends, (record.count - row.count, row.count - record.count), strict=True):
        let_count_stand(desk, made, end, change, (record.moved_on, order_of(record)))
    return made.add(row)
