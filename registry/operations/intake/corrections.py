"""Samples corrected; what was entered of the wrong fish taken back. All of it stays readable."""

from dataclasses import dataclass

from registry.errors import Objection, Refused
from registry.models import (
    BatchMark,
    Capture,
    HealthLook,
    MarkSearch,
    Photo,
    PloidyFound,
    Quarantine,
    Record,
    SampleSent,
    TissueSample,
    Treatment,
)
from registry.operations.intake.samples import write_sample
from registry.operations.shared.desk import Desk, open_desk, refuse_if_any
from registry.operations.shared.stays import owner_of
from registry.permissions import CORRECT, Actor
from registry.queries.known import Named
from registry.rules.intake.samples import SampleTaken, objections_to_sample
from registry.rules.known import fold
from registry.rules.texts import objections_to_texts

# What is entered anew when it was entered of the wrong fish, or not at all.
MAY_BE_TAKEN_BACK = (
    TissueSample, Treatment, Photo, HealthLook, Quarantine, Capture, BatchMark, SampleSent, PloidyFound,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """A row that should not stand, and why."""

    record: Record
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleCorrected:
    """What a sample should read, and why."""

    record: TissueSample
    sample: SampleTaken
    reason: str


def take_back(by: Actor, entry: TakenBack) -> Record:
    """Take a row back. Refused: no reason, taken back before, a quarantine that the veterinarian has ended."""
    row = entry.record
    refuse_if_any(_objections(row, entry.reason) + objections_to_texts(entry))
    with open_desk(by, CORRECT, Named()) as desk:
        subject = " ".join(owner_of(row))
        made = desk.door.open(f"{row._meta.verbose_name} taken back", subject, reason=entry.reason, corrects=row.entry)
        made.withdraw(row)
        for mark in MarkSearch.objects.current().filter(capture=row) if isinstance(row, Capture) else ():
            made.withdraw(mark)
        return row


def correct_sample(by: Actor, entry: SampleCorrected, *, confirmed: bool = True) -> TissueSample:
    """Correct a sample. Refused: no reason, nothing different, whatever a new sample would be refused for."""
    row, sample = entry.record, entry.sample
    refuse_if_any(_objections(row, entry.reason) + objections_to_texts(entry))
    with open_desk(by, CORRECT, Named(fish={sample.fish}, samples={sample.number})) as desk:
        if desk.known.samples.get(fold(sample.number)) and fold(sample.number) == fold(row.label):
            desk.known.samples.pop(fold(row.label))
        refuse_if_any(_unchanged(row, sample) + objections_to_sample(sample, desk.known), confirmed)
        return _write(desk, entry)


def as_taken(row: TissueSample) -> SampleTaken:
    """Return a sample as it was entered."""
    return SampleTaken(
        fish=row.fish.number, number=row.label, taken_on=row.taken_on, kind=row.kind, stored_at=row.stored_at,
        second_tube=row.second_tube, notes=row.notes,
    )  # fmt: skip


def _objections(row: Record, reason: str) -> list[Objection]:
    found = []
    if not isinstance(row, MAY_BE_TAKEN_BACK):
        raise TypeError(f"{type(row).__name__} is corrected elsewhere.")
    if row.withdrawn_id:
        found.append(Objection("withdrawn", "", "This was taken back already. Look at the later entry."))
    if isinstance(row, Quarantine) and row.until:
        text = "The veterinarian has ended this quarantine; it stays. Start a new one if the fish must go back."
        found.append(Objection("ended", "", text))
    if not reason.strip():
        found.append(Objection("no_reason", "reason", "Say why: the reason stands in the journal beside it."))
    return found


def _unchanged(row: TissueSample, sample: SampleTaken) -> list[Objection]:
    if as_taken(row) != sample:
        return []
    return [Objection("nothing_changed", "", "Nothing is different from what stands. Change something first.")]


def _write(desk: Desk, entry: SampleCorrected) -> TissueSample:
    row, fish = entry.record, desk.fish(entry.sample.fish)
    if fish is None:
        raise Refused(Objection("unknown_fish", "fish", f"There is no fish {entry.sample.fish} in the register."))
    made = desk.door.open("sample corrected", f"fish {fish.number}", reason=entry.reason, corrects=row.entry)
    made.withdraw(row)
    return write_sample(desk, made, fish, entry.sample)
