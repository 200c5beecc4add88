"""A code that is met on a second fish: set aside, so that the night's work goes on, until somebody finds out."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.known import Known, KnownFish, KnownTag, fold
from registry.rules.tags import TagCode
from registry.rules.texts import objections_to_texts

RESOLUTIONS = ("retagged", "holder ended", "misread", "one fish")
LONGEST_REASON = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeAside:
    """A code read on a fish while another fish bears it, and why they are two fish."""

    fish: str
    code: TagCode
    read_on: date
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AsideResolved:
    """What came out of a code that was set aside."""

    fish: str
    code: TagCode
    resolved_on: date
    resolution: str
    reason: str = ""


def objections_to_code_aside(entry: CodeAside, known: Known, fish: KnownFish | None = None) -> list[Objection]:
    """Return what is in the way of setting this code aside: no such fish, no other fish that bears it, no reason."""
    found = objections_to_texts(entry, {"reason": LONGEST_REASON})
    fish = fish or known.find_fish(entry.fish)
    if fish is None:
        text = f"There is no fish {entry.fish} in the register."
        found.append(Objection("unknown_fish", "fish", text, entry.fish))
    if not entry.reason.strip():
        text = "Say why it is another fish, such as its sex, its length, its second tag."
        found.append(Objection("no_reason", "reason", text))
    if entry.read_on > known.today:
        text = f"{spoken(entry.read_on)} lies in the future. Correct the day."
        found.append(Objection("future_date", "read_on", text, str(entry.read_on)))
    holder = bearer(entry.code, entry.read_on, known)
    if holder is None:
        text = f"No other fish bears {entry.code.code} that day: attach it as the tag of this fish."
        found.append(Objection("code_is_free", "code", text, entry.code.code))
    elif fish and fold(holder.fish) == fold(fish.number):
        text = f"{entry.code.code} is on record as the tag of fish {fish.number} itself. Nothing is to be set aside."
        found.append(Objection("own_code", "code", text, entry.code.code))
    return found


def bearer(code: TagCode, day: date, known: Known) -> KnownTag | None:
    """Return the tag with this code that is on a fish that day."""
    return next((tag for tag in known.tags.get(code, []) if tag.on_day(day)), None)


def objections_to_resolving(entry: AsideResolved, known: Known, read_on: date | None) -> list[Objection]:
    """Return what is in the way of resolving; `read_on` is the day on which the code was set aside, if it is open."""
    found = objections_to_texts(entry)
    if read_on is None:
        text = f"Code {entry.code.code} is not set aside for fish {entry.fish}, or it was resolved already."
        return [*found, Objection("not_set_aside", "code", text, entry.code.code)]
    if entry.resolution not in RESOLUTIONS:
        found.append(Objection("bad_resolution", "resolution", "Choose what came out."))
    if entry.resolved_on > known.today:
        text = f"{spoken(entry.resolved_on)} lies in the future. Correct the day."
        found.append(Objection("future_date", "resolved_on", text, str(entry.resolved_on)))
    if entry.resolved_on < read_on:
        text = f"It was set aside on {spoken(read_on)}; it cannot have been resolved before. Correct the day."
        found.append(Objection("out_before_in", "resolved_on", text, str(entry.resolved_on)))
    if entry.resolution == "holder ended" and bearer(entry.code, entry.resolved_on, known):
        text = f"Code {entry.code.code} is still active on the other fish. End that tag first."
        found.append(Objection("still_active", "resolution", text, entry.code.code))
    return found
