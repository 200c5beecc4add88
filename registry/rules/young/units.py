"""Where batches are put, and among which others: a batch in quarantine stays apart."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.intake import holds
from registry.rules.known import Known, KnownBatch
from registry.rules.texts import objections_to_texts
from registry.rules.young.ledger import objection_before_start, unknown_batch


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchMove:
    """A batch moves to another holding unit."""

    batch: str
    moved_on: date
    unit: str
    notes: str = ""


def objections_to_move(entry: BatchMove, known: Known) -> list[Objection]:
    """Return what is in the way of moving the batch."""
    found = objections_to_texts(entry) + objections_to_day("moved_on", entry.moved_on, known.today)
    batch = known.find_batch(entry.batch)
    if batch is None:
        return [*found, unknown_batch(entry.batch)]
    if not entry.unit:
        found.append(Objection("unknown_unit", "unit", "The holding unit is missing. Say where the batch goes."))
    if batch.opened_on and entry.moved_on < batch.opened_on:
        found.append(objection_before_start(batch, entry.moved_on))
    found += objections_to_unit_of(batch, entry.unit, entry.moved_on, known)
    return found + objections_to_unit(entry.unit, known)


def objections_to_unit(unit: str, known: Known) -> list[Objection]:
    """Return the objection that there is no such holding unit."""
    if not unit or unit in known.units:
        return []
    return [
        Objection("unknown_unit", "unit", f"There is no holding unit “{unit}”. Choose one, or have it opened.", unit)
    ]


def objections_to_unit_of(batch: KnownBatch, unit: str, day: date, known: Known) -> list[Objection]:
    """Return why fish of a batch in quarantine may not go into a unit."""
    if unit not in known.units:
        return []
    return holds.objections_to_unit(batch, unit, batch.unit, day, known)


def objections_to_mixing(batch: KnownBatch, into: KnownBatch, day: date) -> list[Objection]:
    """Return why fish of one batch may not go among those of another."""
    hold = batch.quarantined(day)
    if hold is None or into.quarantined(day):
        return []
    text = f"Batch {batch.number} is in quarantine since {spoken(hold.since)}, and {into.number} is not."
    return [Objection(holds.IN_QUARANTINE, "into", f"{text} The veterinarian's release comes first.", into.number)]


def objections_to_day(field: str, day: date, today: date) -> list[Objection]:
    """Return the objection that a day lies in the future."""
    if day <= today:
        return []
    return [Objection("future_date", field, f"{spoken(day)} lies in the future. Correct the day.", str(day))]
