"""Checks: a fish in hand, measured, sexed and staged."""

from registry.journal.write import Entry
from registry.models import Check, Fish
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.intake.checks import Measurement, objections_to_measurement
from registry.rules.known import Known


def record_measurement(by: Actor, entry: Measurement, *, confirmed: bool = True) -> Check:
    """Record what was found on a fish in hand. Refused: a day outside its life, impossible sizes, nothing found."""
    return MEASUREMENT.do(by, entry, confirmed=confirmed)


def named_by_measurement(entry: Measurement) -> Named:
    """Return what a measurement names."""
    return Named(fish={entry.fish}, codes={entry.code.code} if entry.code else set())


def note_measurement(_entry: Measurement, _known: Known) -> None:
    """Measurements change nothing that later entries are judged by."""


def write_measurement(desk: Desk, entry: Measurement) -> Check:
    """Write a judged measurement."""
    fish = desk.fish(entry.fish)
    return write_check(desk, desk.entry("fish measured", f"fish {fish.number}", entry.checked_on), fish, entry)


def write_check(desk: Desk, made: Entry, fish: Fish, entry: Measurement) -> Check:
    """Write a check into an open entry."""
    tags = desk.known.tags.get(entry.code, []) if entry.code else []
    tag_pk = next((t.pk for t in tags if t.fish == fish.number and t.pk), None)
    return made.add(
        Check(
            fish=fish,
            checked_on=entry.checked_on,
            total_length_mm=entry.total_length_mm,
            fork_length_mm=entry.fork_length_mm,
            girth_mm=entry.girth_mm,
            mass_g=entry.mass_g,
            sex_found=entry.sex_found,
            stage=entry.stage,
            method=entry.method,
            polarisation_index=entry.polarisation_index,
            oocytes_measured=entry.oocytes_measured,
            water_c=entry.water_c,
            tag_id=tag_pk,
            notes=entry.notes,
        )
    )


MEASUREMENT = Deed(ENTER, named_by_measurement, objections_to_measurement, note_measurement, write_measurement)
