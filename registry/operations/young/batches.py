"""Batches: opened, taken from, counted, split, merged, moved, marked."""

from registry.models import Batch, BatchMark
from registry.operations.shared.care import pass_care_on, pass_waits_on
from registry.operations.shared.desk import Deed, Desk
from registry.operations.shared.ledger import Event, Kind, account, correction_ends, move, note_change, stay_in
from registry.operations.shared.marks import pass_marks_on
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.known import Known, KnownBatch
from registry.rules.papers.permits import act_of_batch, as_sent
from registry.rules.tagging import BatchMarking, objections_to_marking
from registry.rules.young.batches import (
    BatchOpening,
    Census,
    Merge,
    Split,
    Taking,
    objections_to_census,
    objections_to_merge,
    objections_to_opening,
    objections_to_split,
    objections_to_taking_out,
)
from registry.rules.young.ledger import whole_parts
from registry.rules.young.units import BatchMove, objections_to_move

ACCOUNT_OF = {"loss": Kind.LOSS, "sample": Kind.SAMPLE, "cull": Kind.CULL, "transfer": Kind.TRANSFERRED}


def open_batch(by: Actor, entry: BatchOpening, *, confirmed: bool = True) -> Batch:
    """Open a batch of one or several families. Refused: number in use, no such family or unit, no fish."""
    return OPENING.do(by, entry, confirmed=confirmed)


def record_loss(by: Actor, entry: Taking, *, confirmed: bool = True) -> Batch:
    """Take lost, sampled, culled or transferred fish out. Refused: more than the batch holds at any moment."""
    return TAKING.do(by, entry, confirmed=confirmed)


def record_census(by: Actor, entry: Census, *, confirmed: bool = True) -> Batch:
    """Book the difference between what was counted and what the books say as a correction. 0 is a legal count."""
    return CENSUS.do(by, entry, confirmed=confirmed)


def split_batch(by: Actor, entry: Split, *, confirmed: bool = True) -> Batch:
    """Move part of a batch into a new batch; families and marks keep their proportions in both."""
    return SPLIT.do(by, entry, confirmed=confirmed)


def merge_batches(by: Actor, entry: Merge, *, confirmed: bool = True) -> Batch:
    """Move fish of one batch into another; the families of both add up."""
    return MERGE.do(by, entry, confirmed=confirmed)


def move_batch(by: Actor, entry: BatchMove, *, confirmed: bool = True) -> Batch:
    """Move a batch to another holding unit."""
    return MOVE.do(by, entry, confirmed=confirmed)


def mark_batch(by: Actor, entry: BatchMarking, *, confirmed: bool = True) -> BatchMark:
    """Note a mark that fish of a batch share. Refused: an unknown kind, more fish than the batch held that day."""
    return MARKING.do(by, entry, confirmed=confirmed)


def write_opening(desk: Desk, entry: BatchOpening) -> Batch:
    """Write a judged opening."""
    made = desk.entry("batch opened", f"batch {entry.number}", entry.opened_on)
    families = [desk.family(f.family) for f in entry.families]
    first = desk.known.find_family(entry.families[0].family)
    stock = first.stock if first else ""
    batch = desk.remember(
        made.add(Batch(number=entry.number, stock=desk.stock(stock), opened_on=entry.opened_on, notes=entry.notes))
    )
    target = account(desk, made, Kind.BATCH, batch)
    parts = whole_parts(entry.count, [f.share for f in entry.families])
    for family, part in zip(families, parts, strict=True):
        if part:
            move(
                desk,
                made,
                Event.OPEN,
                (account(desk, made, Kind.FAMILY, family), target),
                part,
                moved_on=entry.opened_on,
                stage=entry.stage,
                method=entry.method,
                uncertainty=entry.uncertainty,
            )
    stay_in(desk, made, batch, entry.unit, entry.opened_on)
    note_opening(entry, desk.known)
    return batch


def write_taking(desk: Desk, entry: Taking) -> Batch:
    """Write a judged taking."""
    batch = desk.batch(entry.batch)
    what = f"{Event(entry.event).label.lower()} recorded"
    made = desk.entry(what, f"batch {batch.number}", entry.moved_on, entry.permit_reason)
    ends = (account(desk, made, Kind.BATCH, batch), account(desk, made, ACCOUNT_OF[entry.event]))
    more = {"stage": entry.stage, "notes": entry.notes, "permit": desk.known.permit_named(entry.permit)}
    more["abroad"] = entry.abroad
    move(desk, made, entry.event, ends, entry.count, moved_on=entry.moved_on, **more)
    note_taking(entry, desk.known)
    return batch


def write_census(desk: Desk, entry: Census) -> Batch:
    """Write a judged census."""
    batch = desk.batch(entry.batch)
    made = desk.entry("batch counted", f"batch {batch.number}", entry.moved_on)
    held = account(desk, made, Kind.BATCH, batch)
    difference = entry.counted - desk.known.find_batch(entry.batch).balance(entry.moved_on)
    move(
        desk,
        made,
        Event.CENSUS,
        correction_ends(desk, made, held, difference),
        abs(difference),
        moved_on=entry.moved_on,
        counted=entry.counted,
        method=entry.method,
        uncertainty=entry.uncertainty,
        stage=entry.stage,
        notes=entry.notes,
    )
    note_census(entry, desk.known)
    return batch


def write_split(desk: Desk, entry: Split) -> Batch:
    """Write a judged split."""
    parent = desk.batch(entry.batch)
    stock = desk.known.find_batch(entry.batch).stock
    made = desk.entry("batch split", f"batch {entry.new_number}", entry.moved_on)
    batch = desk.remember(
        made.add(Batch(number=entry.new_number, stock=desk.stock(stock), opened_on=entry.moved_on, notes=entry.notes))
    )
    ends = (account(desk, made, Kind.BATCH, parent), account(desk, made, Kind.BATCH, batch))
    pass_marks_on(desk, made, parent, batch, entry)
    move(desk, made, Event.SPLIT, ends, entry.count, moved_on=entry.moved_on, stage=entry.stage)
    stay_in(desk, made, batch, entry.unit, entry.moved_on)
    pass_care_on(desk, made, desk.known.find_batch(entry.batch), entry.moved_on, batch=batch)
    note_split(entry, desk.known)
    return batch


def write_merge(desk: Desk, entry: Merge) -> Batch:
    """Write a judged merge."""
    source, into = desk.batch(entry.batch), desk.batch(entry.into)
    made = desk.entry("batches merged", f"batch {into.number}", entry.moved_on)
    ends = (account(desk, made, Kind.BATCH, source), account(desk, made, Kind.BATCH, into))
    move(desk, made, Event.MERGE, ends, entry.count, moved_on=entry.moved_on, stage=entry.stage, notes=entry.notes)
    desk.door.write_rows()  # an earlier stay may have been opened at this desk
    stay_in(desk, made, into, entry.unit, entry.moved_on)
    pass_waits_on(made, desk.known.find_batch(entry.batch), entry.moved_on, batch=into)
    note_merge(entry, desk.known)
    return into


def write_move(desk: Desk, entry: BatchMove) -> Batch:
    """Write a judged move to another unit."""
    batch = desk.batch(entry.batch)
    made = desk.entry("batch moved", f"batch {batch.number}", entry.moved_on)
    desk.door.write_rows()
    stay_in(desk, made, batch, entry.unit, entry.moved_on)
    return batch


def write_marking(desk: Desk, entry: BatchMarking) -> BatchMark:
    """Write a judged mark; the batch that bears it is its subject."""
    batch = desk.batch(entry.batch)
    made = desk.entry("batch marked", f"batch {batch.number}", entry.marked_on)
    how = {"kind": entry.kind, "detail": entry.detail, "marked_on": entry.marked_on, "count": entry.count}
    return made.add(BatchMark(batch=batch, **how))


def note_opening(entry: BatchOpening, known: Known) -> None:
    """Let later entries know the new batch."""
    family = known.find_family(entry.families[0].family)
    batch = KnownBatch(entry.number, stock=family.stock if family else "", opened_on=entry.opened_on)
    known.add_batch(batch)
    note_change(batch, entry.opened_on, Event.OPEN, entry.count)


def note_taking(entry: Taking, known: Known) -> None:
    """Let later entries know what was taken out, and what was sent away under a permit."""
    batch = known.find_batch(entry.batch)
    note_change(batch, entry.moved_on, entry.event, -entry.count)
    if batch:
        sent = [act_of_batch("transfer", entry.moved_on, batch, entry.count, known)]
        known.note_acts(entry.permit, as_sent(entry, sent))


def note_census(entry: Census, known: Known) -> None:
    """Let later entries know what was counted."""
    batch = known.find_batch(entry.batch)
    if batch:
        difference = entry.counted - batch.balance(entry.moved_on)
        note_change(batch, entry.moved_on, Event.CENSUS, difference, entry.counted)


def note_split(entry: Split, known: Known) -> None:
    """Let later entries know both parts."""
    parent = known.find_batch(entry.batch)
    batch = KnownBatch(entry.new_number, stock=parent.stock if parent else "", opened_on=entry.moved_on)
    if parent:
        batch.quarantines, batch.waits = parent.held_on(entry.moved_on)
    known.add_batch(batch)
    note_change(parent, entry.moved_on, Event.SPLIT, -entry.count)
    note_change(batch, entry.moved_on, Event.SPLIT, entry.count)


def note_merge(entry: Merge, known: Known) -> None:
    """Let later entries know both batches."""
    batch, into = known.find_batch(entry.batch), known.find_batch(entry.into)
    note_change(batch, entry.moved_on, Event.MERGE, -entry.count)
    note_change(into, entry.moved_on, Event.MERGE, entry.count)
    if batch and into:
        into.waits += batch.held_on(entry.moved_on)[1]


def note_nothing(_entry: object, _known: Known) -> None:
    """Some entries change nothing that later ones are judged by."""


def named_by_opening(entry: BatchOpening) -> Named:
    """Return what an opening names."""
    return Named(families={f.family for f in entry.families}, batches={entry.number})


def _named(entry: Taking | Census | BatchMove | BatchMarking) -> Named:
    return Named(batches={entry.batch})


OPENING = Deed(ENTER, named_by_opening, objections_to_opening, note_opening, write_opening)
TAKING = Deed(
    ENTER,
    lambda e: Named(batches={e.batch}, permits={e.permit}),
    objections_to_taking_out,
    note_taking,
    write_taking,
)
CENSUS = Deed(ENTER, _named, objections_to_census, note_census, write_census)
SPLIT = Deed(ENTER, lambda e: Named(batches={e.batch, e.new_number}), objections_to_split, note_split, write_split)
MERGE = Deed(ENTER, lambda e: Named(batches={e.batch, e.into}), objections_to_merge, note_merge, write_merge)
MOVE = Deed(ENTER, _named, objections_to_move, note_nothing, write_move)
MARKING = Deed(ENTER, _named, objections_to_marking, note_nothing, write_marking)
