"""What may be entered of a fish that moves to another unit, dies or leaves."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import Day, spoken, surely_before
from registry.rules.intake.holds import objections_to_unit
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """A fish that died, was transferred or is missing."""

    fish: str
    left: str
    left_on: Day
    permit: str = ""
    permit_reason: str = ""
    abroad: bool = False
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FishMove:
    """A fish moves to another holding unit."""

    fish: str
    unit: str
    moved_on: date


def objections_to_departure(entry: Departure, known: Known) -> list[Objection]:
    """Return what is in the way of noting that a fish is gone."""
    found = objections_to_texts(entry)
    fish = known.find_fish(entry.fish)
    if fish is None:
        return [*found, _unknown(entry.fish)]
    if fish.left:
        gone = f"Fish {fish.number} already {fish.left} {fish.left_on or ''}".strip()
        found.append(Objection("already_left", "fish", f"{gone}. Correct that entry instead."))
    if entry.left == "transferred" and fish.quarantined(entry.left_on.first):
        text = f"Fish {fish.number} is in quarantine: it travels by the veterinarian's word and with its papers only."
        found.append(Objection("in_quarantine", "left", text, fish.number, warning=True))
    if entry.left_on.first > known.today:
        found.append(Objection("future_date", "left_on", f"{entry.left_on} lies in the future. Correct the day."))
    if fish.came and surely_before(entry.left_on, fish.came):
        text = f"Fish {fish.number} came {fish.came}, after {entry.left_on}."
        found.append(Objection("death_before_hatch", "left_on", text))
    return found


def _unknown(number: str) -> Objection:
    return Objection("unknown_fish", "fish", f"There is no fish {number} in the register.", number)


def objections_to_move(entry: FishMove, known: Known, stay: tuple[str, date] | None = None) -> list[Objection]:
    """Return what is in the way of a move out of `stay`: the unit that the fish is in, and since when."""
    found = objections_to_texts(entry)
    fish = known.find_fish(entry.fish)
    if fish is None:
        found.append(_unknown(entry.fish))
    elif fish.left:
        text = f"Fish {fish.number} {fish.left} {fish.left_on or ''}".strip()
        found.append(Objection("already_left", "fish", f"{text}."))
    if entry.unit not in known.units:
        text = f"There is no holding unit “{entry.unit}”. Choose one."
        found.append(Objection("unknown_unit", "unit", text, entry.unit))
    if entry.moved_on > known.today:
        found.append(Objection("future_date", "moved_on", "This day lies in the future. Correct it."))
    if stay and entry.moved_on < stay[1]:
        text = f"It is in {stay[0]} since {spoken(stay[1])}; it cannot have left it before. Correct the day."
        found.append(Objection("out_before_in", "moved_on", text))
    elif stay and stay[0] == entry.unit:
        found.append(Objection("already_there", "unit", f"It is in {entry.unit} already. Choose another unit."))
    if fish and entry.unit in known.units:
        found += objections_to_unit(fish, entry.unit, stay[0] if stay else "", entry.moved_on, known)
    return found
