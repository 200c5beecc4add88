"""Marks of batches, passed on as fish go from one batch to another."""

from decimal import Decimal

from registry.journal.write import Entry
from registry.models import Batch, BatchMark
from registry.operations.shared.desk import Desk
from registry.rules.young.batches import Split


def pass_marks_on(desk: Desk, made: Entry, parent: Batch, batch: Batch, entry: Split) -> None:
    """Let a new batch bear the marks that its fish bore where they came from.

    Of a mark that only some fish bore, the same share goes along, rounded: splitting keeps the proportions.
    """
    if parent.pk is None:  # opened at this desk, where nothing is marked
        return
    known = desk.known.find_batch(parent.number)
    marks = BatchMark.objects.current().filter(batch=parent, marked_on__lte=entry.moved_on).order_by("marked_on", "pk")
    for mark in marks:
        held = known.balance(mark.marked_on) if known else 0
        share = min(Decimal(1), Decimal(mark.count) / held) if mark.count is not None and held > 0 else Decimal(1)
        count = None if mark.count is None else round(share * entry.count)
        if count != 0:
            made.add(BatchMark(batch=batch, kind=mark.kind, detail=mark.detail, marked_on=mark.marked_on, count=count))
