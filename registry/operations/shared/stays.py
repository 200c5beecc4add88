"""Stays corrected: the right unit and days of a fish or batch, and the stay before, which ended as this one began."""

from dataclasses import replace
from datetime import date

from django.db.models import QuerySet

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import MarkSearch, MiltLot, Record, Stay
from registry.rules.days import Period, objections_to_period
from registry.rules.known import Known


def judge_stay(row: Stay, record: Stay, known: Known) -> list[Objection]:
    """Return what is in the way of `row` standing for `record`."""
    others = [_period(stay) for stay in _others(record)]
    before = stay_before(record)
    if before and before.since <= row.since:
        others = [replace(one, until=row.since) if one == _period(before) else one for one in others]
    return objections_to_period(_period(row), others, known.today, _bounds(record, known))


def stay_before(record: Stay) -> Stay | None:
    """Return the stay that ended on the day on which this one began: both tell of one move."""
    return _others(record).filter(until=record.since).order_by("-since", "-pk").first()


def let_stay_before_end(made: Entry, before: Stay | None, row: Stay) -> None:
    """Correct the end of the stay before, where the day of the move was wrong."""
    if before is None or before.until == row.since:
        return
    made.withdraw(before)
    made.add(Stay(unit_id=before.unit_id, fish_id=before.fish_id, batch_id=before.batch_id, since=before.since,
                  until=row.since))  # fmt: skip


def owner_of(record: Record) -> tuple[str, str]:
    """Return whose row it is: ("fish", its number), ("batch", its number) or ("milt_lot", its own number)."""
    if isinstance(record, MiltLot):
        return "milt_lot", record.number
    if isinstance(record, MarkSearch):
        return "fish", record.capture.fish.number
    batch = getattr(record, "batch", None)
    return ("batch", batch.number) if batch else ("fish", record.fish.number)


def _others(record: Stay) -> QuerySet[Stay]:
    owned = {"fish_id": record.fish_id, "batch_id": record.batch_id}
    return Stay.objects.current().filter(**owned).exclude(pk=record.pk).select_related("unit")


def _period(stay: Stay) -> Period:
    return Period(stay.unit.name, stay.since, stay.until)


def _bounds(record: Stay, known: Known) -> tuple[date | None, date | None]:
    """Return the first and the last day on which the fish or batch was there at all, as far as is known."""
    if record.batch:
        batch = known.find_batch(record.batch.number)
        return (batch.opened_on if batch else None), None
    fish = known.find_fish(record.fish.number)
    came, left = (fish.came, fish.left_on) if fish else (None, None)
    return (came.first if came else None), (left.last if left else None)
