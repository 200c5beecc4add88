"""Samples: numbered as on the tube, of one fish each."""

from registry.journal.write import Entry
from registry.models import Fish, TissueSample
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.intake.samples import SampleTaken, objections_to_sample
from registry.rules.known import Known, fold


def take_sample(by: Actor, entry: SampleTaken, *, confirmed: bool = True) -> TissueSample:
    """Record a sample. Refused: no such fish, a number that is on another tube, a day on which it was not here."""
    return SAMPLE.do(by, entry, confirmed=confirmed)


def note_sample(entry: SampleTaken, known: Known) -> None:
    """Let later entries know the number, and that the fish has a sample."""
    known.samples[fold(entry.number)] = entry.fish
    fish = known.find_fish(entry.fish)
    if fish and entry.kind in TissueSample.GENETIC:
        fish.tissue = True


def write_sample(desk: Desk, made: Entry, fish: Fish, entry: SampleTaken) -> TissueSample:
    """Write a sample into an open entry."""
    note_sample(entry, desk.known)
    return made.add(
        TissueSample(
            fish=fish,
            label=entry.number,
            kind=entry.kind,
            taken_on=entry.taken_on,
            stored_at=entry.stored_at,
            second_tube=entry.second_tube,
            notes=entry.notes,
        )
    )


def _write(desk: Desk, entry: SampleTaken) -> TissueSample:
    fish = desk.fish(entry.fish)
    made = desk.entry("sample taken", f"fish {fish.number}", entry.taken_on)
    return write_sample(desk, made, fish, entry)


SAMPLE = Deed(ENTER, lambda e: Named(fish={e.fish}, samples={e.number}), objections_to_sample, note_sample, _write)
