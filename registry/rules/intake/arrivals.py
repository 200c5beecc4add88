"""A fish taken in from outside: everything that is seen and done on that day, as one entry."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from registry.errors import Objection
from registry.rules.fish import Admission, as_known, objections_to_admission
from registry.rules.identity.determination import Determined, objections_to_determination
from registry.rules.intake.captures import (
    CaptureMade,
    HealthSeen,
    MarkLooked,
    objections_to_capture,
    objections_to_health,
    objections_to_marks,
)
from registry.rules.intake.checks import Measurement, objections_to_measurement
from registry.rules.intake.photos import PhotoTaken, objections_to_photo
from registry.rules.intake.quarantine import QuarantineStart, objections_to_start
from registry.rules.intake.samples import SampleTaken, objections_to_sample
from registry.rules.known import Known, fold
from registry.rules.papers.acts import Act
from registry.rules.papers.permits import objections_to_permit


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """A fish that comes from outside. Each part names the fish by the number of its admission."""

    admission: Admission
    capture: CaptureMade
    marks: tuple[MarkLooked, ...] = ()
    measurement: Measurement | None = None
    health: HealthSeen | None = None
    samples: tuple[SampleTaken, ...] = ()
    photos: tuple[PhotoTaken, ...] = ()
    quarantine: QuarantineStart | None = None
    # What was seen of its species before it had a number; the conclusion is that of the admission.
    determination: Determined | None = None


def objections_to_arrival(entry: Arrival, known: Known, now: datetime) -> list[Objection]:
    """Return what is in the way of taking this fish in, and warnings, each hung on `part.field`."""
    found = objections_to_admission(entry.admission, known)
    found += [_at("capture", one) for one in objections_to_capture(entry.capture, now)]
    permit = entry.capture.permit
    found += objections_to_permit(
        permit, [act_of_arrival(entry)], known, field="capture.permit", why=entry.capture.permit_reason
    )
    found += objections_to_marks(entry.marks, entry.admission.origin)
    found += list(_objections_to_parts(entry, _with_fish(entry, known)))
    if entry.quarantine is None:
        text = "It goes into no quarantine: what it carries reaches the others. Choose a quarantine unit if you can."
        found.append(Objection("no_quarantine", "quarantine.unit", text, warning=True))
    if not entry.samples:
        text = "No sample was taken: nothing can later prove which fish it was, nor its parents. Take a fin clip."
        found.append(Objection("no_tissue", "fin clip.number", text, warning=True))
    return found


def act_of_arrival(entry: Arrival) -> Act:
    """Return what counts against the permit: the capture of one fish, of the species that it is taken for."""
    fish = entry.admission
    return Act("capture", entry.capture.caught_on, fish.species, fish.stock, 1, place=entry.capture.place)


def _with_fish(entry: Arrival, known: Known) -> Known:
    """Return what is known once the fish is in the register; what is known now stays as it is."""
    number = fold(entry.admission.number)
    return replace(known, fish={**known.fish, number: as_known(entry.admission)}, samples=dict(known.samples))


def _objections_to_parts(entry: Arrival, after: Known) -> Iterator[Objection]:
    if entry.measurement:
        yield from (_at("measurement", one) for one in objections_to_measurement(entry.measurement, after))
    if entry.health:
        yield from (_at("health", one) for one in objections_to_health(entry.health, after))
    for sample in entry.samples:
        yield from (_at(sample.kind, one) for one in objections_to_sample(sample, after))
        after.samples[fold(sample.number)] = entry.admission.number
    for photo in entry.photos:
        yield from (_at(photo.view, one) for one in objections_to_photo(photo, after))
    if entry.determination:
        yield from (_at("determination", one) for one in objections_to_determination(entry.determination, after))
    if entry.quarantine:
        yield from (_at("quarantine", one) for one in objections_to_start(entry.quarantine, after))


def _at(part: str, objection: Objection) -> Objection:
    return objection.on(f"{part}.{objection.field}")
