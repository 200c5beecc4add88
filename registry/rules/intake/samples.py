"""What may be entered of a sample."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.intake.in_hand import objections_to_being_in_hand
from registry.rules.known import Known, fold
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleTaken:
    """A numbered sample of one fish, and where its tubes are kept."""

    fish: str
    number: str
    taken_on: date | None
    kind: str = "fin clip"
    stored_at: str = ""
    second_tube: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleSending:
    """A tube of a sample that was sent elsewhere."""

    number: str
    sent_on: date
    sent_to: str
    permit: str = ""
    permit_reason: str = ""
    abroad: bool = False
    notes: str = ""


def objections_to_sample_sending(entry: SampleSending, taken_on: date | None, today: date) -> list[Objection]:
    """Return what is wrong with a sending by itself; `taken_on` is the day on which the sample was taken."""
    found = objections_to_texts(entry, {"sent_to": 80, "notes": 200})
    if not entry.sent_to:
        text = "Say where it went: a laboratory or office, no person's name."
        found.append(Objection("missing_place", "sent_to", text))
    if entry.sent_on > today:
        found.append(Objection("future_date", "sent_on", f"{spoken(entry.sent_on)} lies in the future. Correct it."))
    if taken_on and entry.sent_on < taken_on:
        text = f"The sample was taken on {spoken(taken_on)}; it was not sent before. Correct the day."
        found.append(Objection("before_start", "sent_on", text, str(entry.sent_on)))
    return found


def series(first: str, count: int) -> list[str]:
    """Return numbers to print on tubes: T-098, T-099, T-100. Without figures at its end, a number has no next."""
    stem = first.rstrip("0123456789")
    figures = first[len(stem) :]
    if not figures:
        return [first] if first else []
    return [f"{stem}{int(figures) + n:0{len(figures)}}" for n in range(count)]


def objections_to_sample(entry: SampleTaken, known: Known) -> list[Objection]:
    """Return what is in the way of this sample."""
    found = objections_to_texts(entry, {"stored_at": 80, "second_tube": 80})
    found += objections_to_being_in_hand(entry.fish, "taken_on", entry.taken_on, known, dead_too=True)
    found += objections_to_sample_number(entry.number, "number", known)
    if entry.second_tube and fold(entry.second_tube) == fold(entry.stored_at):
        text = "Both tubes are in one place: whatever spoils one spoils the other. Keep the second elsewhere."
        found.append(Objection("one_place", "second_tube", text, warning=True))
    return found


def objections_to_sample_number(number: str, field: str, known: Known) -> list[Objection]:
    """Return why a sample cannot have this number."""
    if not number:
        return [Objection("missing_id", field, "The number of the sample is missing. Write it as on the tube.")]
    bearer = known.samples.get(fold(number))
    if bearer is None:
        return []
    text = f"Sample {number} is on record of fish {bearer}. Read the tube again; no two samples share a number."
    return [Objection("duplicate_id", field, text, number)]
