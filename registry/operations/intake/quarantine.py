"""Quarantine: units marked for it, fish and batches put into it, and the veterinarian's release out of it."""

from datetime import date

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import Fish, Quarantine, QuarantineUse, Stay
from registry.operations.fish import end_stay
from registry.operations.shared.desk import Deed, Desk
from registry.operations.shared.ledger import stay_in
from registry.operations.shared.stays import owner_of
from registry.permissions import ADMINISTER, END_QUARANTINE, ENTER, Actor
from registry.queries.intake.holds import held_in
from registry.queries.known import Named
from registry.rules.intake.held import Hold
from registry.rules.intake.quarantine import (
    QuarantineRelease,
    QuarantineStart,
    QuarantineUnitSet,
    bearer,
    objections_to_quarantine_release,
    objections_to_quarantine_unit,
    objections_to_start,
)
from registry.rules.intake.treatments import TreatmentGiven
from registry.rules.known import Known


def set_quarantine_unit(by: Actor, entry: QuarantineUnitSet, *, confirmed: bool = True) -> QuarantineUse:
    """Say that a unit serves for quarantine, or no longer. Refused: no change, fish in quarantine still in it."""
    return QUARANTINE_UNIT.do(by, entry, confirmed=confirmed)


def start_quarantine(by: Actor, entry: QuarantineStart, *, confirmed: bool = True) -> Quarantine:
    """Put a fish or a batch into quarantine. Refused: in quarantine already, gone, no quarantine unit."""
    return START.do(by, entry, confirmed=confirmed)


def release_from_quarantine(by: Actor, entry: QuarantineRelease, *, confirmed: bool = True) -> Quarantine:
    """End a quarantine by the veterinarian's word. Refused: not in quarantine, no veterinarian or finding named."""
    return QUARANTINE_RELEASE.do(by, entry, confirmed=confirmed)


def write_quarantine(desk: Desk, made: Entry, fish: Fish, entry: QuarantineStart) -> Quarantine:
    """Write a fish's quarantine into an open entry, and its stay in the unit where it is held."""
    unit = desk.unit(entry.unit)
    desk.door.write_rows()
    if not Stay.objects.current().filter(fish=fish, unit=unit, until__isnull=True).exists():
        end_stay(made, fish, entry.since)
        made.add(Stay(unit=unit, fish=fish, since=entry.since))
    note_quarantine(entry, desk.known)
    return made.add(Quarantine(fish=fish, unit=unit, since=entry.since, reason=entry.reason))


def note_quarantine(entry: QuarantineStart, known: Known) -> None:
    """Let later entries know of the quarantine."""
    held = bearer(entry.fish, entry.batch, known)
    if held:
        held.quarantines += (Hold(entry.since, None, entry.unit),)


def _judge_unit(entry: QuarantineUnitSet, known: Known) -> list[Objection]:
    held = [str(one.fish or f"batch {one.batch}") for one in held_in(entry.unit)]
    return objections_to_quarantine_unit(entry, known, held)


def _note_unit(entry: QuarantineUnitSet, known: Known) -> None:
    (known.quarantine_units.add if entry.serves else known.quarantine_units.discard)(entry.unit)


def _write_unit(desk: Desk, entry: QuarantineUnitSet) -> QuarantineUse:
    what = "unit marked for quarantine" if entry.serves else "unit no longer for quarantine"
    made = desk.entry(what, f"unit {entry.unit}", entry.day)
    _note_unit(entry, desk.known)
    if entry.serves:
        return made.add(QuarantineUse(unit=desk.unit(entry.unit), since=entry.day))
    use = QuarantineUse.objects.current().get(unit=desk.unit(entry.unit), until__isnull=True)
    made.end(use, until=max(entry.day, use.since))
    return use


def _judge_start(entry: QuarantineStart, known: Known) -> list[Objection]:
    held = bearer(entry.fish, entry.batch, known)
    owner = "batch" if entry.batch else "fish"
    # A fish admitted at this desk has no key yet, and stays nowhere.
    stays = Stay.objects.current().filter(**{f"{owner}__in": [held.pk] if held else []}, until__isnull=True)
    elsewhere = stays.exclude(unit__name=entry.unit).values_list("since", flat=True).first()
    return objections_to_start(entry, known, elsewhere)


def _write_start(desk: Desk, entry: QuarantineStart) -> Quarantine:
    if entry.batch:
        return _write_start_of_batch(desk, entry)
    fish = desk.fish(entry.fish)
    made = desk.entry("quarantine begun", f"fish {fish.number}", entry.since)
    return write_quarantine(desk, made, fish, entry)


def _write_start_of_batch(desk: Desk, entry: QuarantineStart) -> Quarantine:
    batch, unit = desk.batch(entry.batch), desk.unit(entry.unit)
    made = desk.entry("quarantine begun", f"batch {batch.number}", entry.since)
    if not Stay.objects.current().filter(batch=batch.pk, unit=unit, until__isnull=True).exists():
        stay_in(desk, made, batch, entry.unit, entry.since)
    note_quarantine(entry, desk.known)
    return made.add(Quarantine(batch=batch, unit=unit, since=entry.since, reason=entry.reason))


def _note_release(entry: QuarantineRelease, known: Known) -> None:
    held = bearer(entry.fish, entry.batch, known)
    if held:
        held.quarantines = tuple(_ended(one, entry.until) for one in held.quarantines)


def _ended(hold: Hold, until: date) -> Hold:
    return hold if hold.until else Hold(hold.since, until, hold.why)


def _write_release(desk: Desk, entry: QuarantineRelease) -> Quarantine:
    owner = {"batch": desk.batch(entry.batch)} if entry.batch else {"fish": desk.fish(entry.fish)}
    row = Quarantine.objects.current().get(**owner, until__isnull=True)
    subject = " ".join(owner_of(row))
    made = desk.entry("quarantine ended by the veterinarian", subject, entry.until)
    made.end(row, until=entry.until, released_by=entry.released_by, findings=entry.findings)
    _note_release(entry, desk.known)
    return row


def named_by(entry: QuarantineStart | QuarantineRelease | TreatmentGiven) -> Named:
    """Return the fish or the batch that an entry names."""
    return Named(fish={entry.fish} - {""}, batches={entry.batch} - {""})


QUARANTINE_UNIT = Deed(ADMINISTER, lambda _entry: Named(), _judge_unit, _note_unit, _write_unit)
START = Deed(ENTER, named_by, _judge_start, note_quarantine, _write_start)
QUARANTINE_RELEASE = Deed(END_QUARANTINE, named_by, objections_to_quarantine_release, _note_release, _write_release)
