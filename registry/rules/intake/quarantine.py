"""What may be entered of quarantine: the units that serve for it, its start, and the veterinarian's release."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.known import Hold, Known, KnownFish
from registry.rules.texts import objections_to_texts

LONGEST_FINDINGS = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarantineUnitSet:
    """A holding unit serves for quarantine from a day on, or no longer does."""

    unit: str
    day: date
    serves: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarantineStart:
    """A fish goes into quarantine; it is moved into the unit if it is elsewhere."""

    fish: str
    unit: str
    since: date
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarantineRelease:
    """The veterinarian ends a quarantine. `released_by` is a role or licence number, no name."""

    fish: str
    until: date
    released_by: str
    findings: str


def objections_to_quarantine_unit(entry: QuarantineUnitSet, known: Known, held: list[str]) -> list[Objection]:
    """Return what is in the way of a unit's use for quarantine or its end; `held` names the fish held in it."""
    found = objections_to_texts(entry)
    if entry.unit not in known.units:
        return [*found, _unknown_unit(entry.unit)]
    if entry.day > known.today:
        found.append(_future("day", entry.day))
    serves = entry.unit in known.quarantine_units
    if serves == entry.serves:
        text = f"{entry.unit} {'serves for quarantine already' if serves else 'is no quarantine unit'}."
        found.append(Objection("nothing_changed", "unit", text, entry.unit))
    elif not entry.serves and held:
        text = f"{', '.join(held)} {'is' if len(held) == 1 else 'are'} in quarantine in {entry.unit}: "
        found.append(Objection("in_quarantine", "unit", text + "the veterinarian's release comes first.", entry.unit))
    elif entry.serves:
        found += _shared_water(entry.unit, known)
    return found


def objections_to_start(entry: QuarantineStart, known: Known, in_unit_since: date | None = None) -> list[Objection]:
    """Return what is in the way of a quarantine; `in_unit_since` is the day on which the fish came where it is now."""
    found = objections_to_texts(entry)
    fish = known.find_fish(entry.fish)
    if fish is None:
        found.append(_unknown_fish(entry.fish))
    else:
        found += _objections_to_fish(entry, fish)
    if entry.since > known.today:
        found.append(_future("since", entry.since))
    if in_unit_since and entry.since < in_unit_since:
        text = f"It came into its unit on {spoken(in_unit_since)}; a quarantine cannot move it before. Correct the day."
        found.append(Objection("out_before_in", "since", text))
    return found + objections_to_place(entry.unit, known)


def objections_to_place(unit: str, known: Known) -> list[Objection]:
    """Return why a unit is no place for a fish in quarantine, and the warning that others share its water."""
    if unit not in known.units:
        return [_unknown_unit(unit)]
    if unit not in known.quarantine_units:
        text = f"{unit} is no quarantine unit. Choose one, or have it marked as one."
        return [Objection("no_quarantine_unit", "unit", text, unit)]
    return _shared_water(unit, known)


def objections_to_quarantine_release(entry: QuarantineRelease, known: Known) -> list[Objection]:
    """Return what is in the way of the veterinarian's release of a fish."""
    found = objections_to_texts(entry, {"findings": LONGEST_FINDINGS})
    fish = known.find_fish(entry.fish)
    hold = open_quarantine(fish) if fish else None
    if fish is None:
        found.append(_unknown_fish(entry.fish))
    elif hold is None:
        found.append(Objection("not_in_quarantine", "fish", f"Fish {fish.number} is not in quarantine.", fish.number))
    elif entry.until < hold.since:
        text = f"Its quarantine began on {spoken(hold.since)}; it cannot end before. Correct the day."
        found.append(Objection("out_before_in", "until", text))
    if entry.until > known.today:
        found.append(_future("until", entry.until))
    for field, what in (("released_by", "veterinarian's role or licence number"), ("findings", "finding")):
        if not getattr(entry, field).strip():
            found.append(Objection("missing", field, f"The {what} is missing. A quarantine ends by it alone."))
    return found


def open_quarantine(fish: KnownFish) -> Hold | None:
    """Return the quarantine that nobody has ended yet."""
    return next((one for one in fish.quarantines if one.until is None), None)


def _objections_to_fish(entry: QuarantineStart, fish: KnownFish) -> list[Objection]:
    found = []
    hold = open_quarantine(fish)
    if hold:
        text = f"Fish {fish.number} is in quarantine since {spoken(hold.since)}. End that one first."
        found.append(Objection("in_quarantine", "fish", text, fish.number))
    elif any(one.until and entry.since < one.until for one in fish.quarantines):
        last = max(one.until for one in fish.quarantines if one.until)
        text = f"An earlier quarantine of {fish.number} lasted until {spoken(last)}. Correct the day."
        found.append(Objection("two_places", "since", text))
    if fish.left:
        text = f"Fish {fish.number} {fish.left} {fish.left_on or ''}".strip() + "."
        found.append(Objection("already_left", "fish", text, fish.number))
    if fish.came and entry.since < fish.came.first:
        text = f"Fish {fish.number} came {fish.came}, after {spoken(entry.since)}. Correct the day."
        found.append(Objection("before_start", "since", text))
    return found


def _shared_water(unit: str, known: Known) -> list[Objection]:
    water = known.water_of.get(unit, "")
    if not water:
        text = f"The water system of {unit} is not known: make sure that no other unit gets its water."
        return [Objection("shared_water", "unit", text, unit, warning=True)]
    others = sorted(name for name, its in known.water_of.items() if its == water and name != unit)
    others = [name for name in others if name not in known.quarantine_units]
    if not others:
        return []
    text = f"{unit} shares its water ({water}) with {', '.join(others[:5])}{' …' if len(others) > 5 else ''}: "
    return [Objection("shared_water", "unit", text + "what it carries reaches them.", unit, warning=True)]


def _unknown_unit(unit: str) -> Objection:
    return Objection("unknown_unit", "unit", f"There is no holding unit “{unit}”. Choose one.", unit)


def _unknown_fish(number: str) -> Objection:
    return Objection("unknown_fish", "fish", f"There is no fish {number} in the register.", number)


def _future(field: str, day: date) -> Objection:
    return Objection("future_date", field, f"{spoken(day)} lies in the future. Correct the day.", str(day))
