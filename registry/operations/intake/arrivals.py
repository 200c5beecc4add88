"""A fish taken in: number, tag, capture, what was found on it, samples, photographs and quarantine in one entry."""

from dataclasses import fields
from typing import Any

from django.utils import timezone

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import Capture, Fish, HealthLook, MarkSearch
from registry.operations.checks import write_check
from registry.operations.fish import named_by_admission, note_admission, write_fish
from registry.operations.identity.determination import write_what_was_seen
from registry.operations.intake.photos import objections_to_files, write_photo
from registry.operations.intake.quarantine import note_quarantine, write_quarantine
from registry.operations.intake.samples import note_sample, write_sample
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.intake.arrivals import Arrival, act_of_arrival, objections_to_arrival
from registry.rules.intake.captures import HealthSeen, objections_to_health
from registry.rules.known import Known


def take_in(by: Actor, entry: Arrival, *, confirmed: bool = True) -> Fish:
    """Take a fish in from outside. Refused: whatever any of its parts would be refused for; then nothing is written."""
    return ARRIVAL.do(by, entry, confirmed=confirmed)


def look_at_health(by: Actor, entry: HealthSeen, *, confirmed: bool = True) -> HealthLook:
    """Note how a fish looks. Refused: a day on which it was not here, nothing noted."""
    return HEALTH.do(by, entry, confirmed=confirmed)


def _named(entry: Arrival) -> Named:
    named: Named = named_by_admission(entry.admission)
    named.permits |= {entry.capture.permit}
    named.samples |= {sample.number for sample in entry.samples if sample.number}
    if entry.measurement and entry.measurement.code:
        named.codes.add(entry.measurement.code.code)
    return named


def _judge(entry: Arrival, known: Known) -> list[Objection]:
    found = objections_to_arrival(entry, known, timezone.now())
    for photo in entry.photos:
        found += [one.on(f"{photo.view}.{one.field}") for one in objections_to_files(photo)]
    return found


def _note(entry: Arrival, known: Known) -> None:
    note_admission(entry.admission, known)
    known.note_acts(entry.capture.permit, [act_of_arrival(entry)])
    for sample in entry.samples:
        note_sample(sample, known)
    if entry.quarantine:
        note_quarantine(entry.quarantine, known)


def _write(desk: Desk, entry: Arrival) -> Fish:
    number = entry.admission.number
    told = _columns(entry.capture)
    made = desk.entry("fish taken in", f"fish {number}", entry.capture.caught_at, told.pop("permit_reason"))
    fish = write_fish(desk, made, entry.admission)
    told["permit"] = desk.known.permit_named(entry.capture.permit)
    desk.known.note_acts(entry.capture.permit, [act_of_arrival(entry)])
    capture = made.add(Capture(fish=fish, **told))
    for mark in entry.marks:
        made.add(MarkSearch(capture=capture, way=mark.way, looked=mark.looked, found=mark.found))
    if entry.measurement:
        write_check(desk, made, fish, entry.measurement)
    if entry.health:
        write_health(made, fish, entry.health)
    for sample in entry.samples:
        write_sample(desk, made, fish, sample)
    for photo in entry.photos:
        write_photo(made, fish, photo)
    if entry.determination:
        write_what_was_seen(desk, made, fish, entry.determination)
    if entry.quarantine:
        write_quarantine(desk, made, fish, entry.quarantine)
    return fish


def write_health(made: Entry, fish: Fish, entry: HealthSeen) -> HealthLook:
    """Write how a fish looked into an open entry."""
    return made.add(HealthLook(fish=fish, **_columns(entry)))


def _columns(entry: Any) -> dict[str, Any]:
    """Return an entry whose fields are the columns of its row, the fish apart."""
    return {one.name: getattr(entry, one.name) for one in fields(entry) if one.name != "fish"}


def _write_health(desk: Desk, entry: HealthSeen) -> HealthLook:
    fish = desk.fish(entry.fish)
    return write_health(desk.entry("health looked at", f"fish {fish.number}", entry.looked_on), fish, entry)


ARRIVAL = Deed(ENTER, _named, _judge, _note, _write)
HEALTH = Deed(ENTER, lambda e: Named(fish={e.fish}), objections_to_health, lambda _entry, _known: None, _write_health)
