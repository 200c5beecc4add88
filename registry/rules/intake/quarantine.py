"""What may be entered of quarantine: the units that serve for it, its start, and the veterinarian's release."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.known import Known, KnownBatch, KnownFish
from registry.rules.texts import objections_to_texts
from registry.rules.young.ledger import objection_before_start, unknown_batch

LONGEST_FINDINGS = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarantineUnitSet:
    """A holding unit serves for quarantine from a day on, or no longer does."""

    unit: str
    day: date
    serves: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarantineStart:
    """A fish or a batch goes into quarantine; it is moved into the unit if it is elsewhere."""

    fish: str = ""
    batch: str = ""
    unit: str
    since: date
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarantineRelease:
    """The veterinarian ends a quarantine. `released_by` is a role or licence number, no name."""

    fish: str = ""
    batch: str = ""
    until: date
    released_by: str
    findings: str


def objections_to_quarantine_unit(entry: QuarantineUnitSet, known: Known, held: list[str]) -> list[Objection]:
    """Return what is in the way of a unit's use for quarantine or its end; `held` names what is held in it."""
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
    """Return what is in the way of a quarantine; `in_unit_since` is the day on which it came where it is now."""
    found = objections_to_texts(entry) + objections_to_naming(entry.fish, entry.batch, known)
    held = bearer(entry.fish, entry.batch, known)
    if held:
        found += _objections_to_another(entry, held)
    if isinstance(held, KnownFish):
        found += _objections_to_fish(entry, held)
    elif isinstance(held, KnownBatch):
        found += objections_to_batch_there(held, entry.since, "since")
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
    """Return what is in the way of the veterinarian's release of a fish or a batch."""
    found = objections_to_texts(entry, {"findings": LONGEST_FINDINGS})
    found += objections_to_naming(entry.fish, entry.batch, known)
    held = bearer(entry.fish, entry.batch, known)
    hold = held.open_quarantine() if held else None
    if held and hold is None:
        text = f"{_named(held)} is not in quarantine."
        found.append(Objection("not_in_quarantine", _field(held), text, held.number))
    elif hold and entry.until < hold.since:
        text = f"Its quarantine began on {spoken(hold.since)}; it cannot end before. Correct the day."
        found.append(Objection("out_before_in", "until", text))
    if entry.until > known.today:
        found.append(_future("until", entry.until))
    for field, what in (("released_by", "veterinarian's role or licence number"), ("findings", "finding")):
        if not getattr(entry, field).strip():
            found.append(Objection("missing", field, f"The {what} is missing. A quarantine ends by it alone."))
    return found


def bearer(fish: str, batch: str, known: Known) -> KnownFish | KnownBatch | None:
    """Return the fish or the batch that an entry names."""
    return known.find_batch(batch) if batch else known.find_fish(fish)


def objections_to_naming(fish: str, batch: str, known: Known) -> list[Objection]:
    """Return why an entry names no one fish or batch."""
    if fish and batch:
        text = "A fish and a batch were named. Enter each by itself."
        return [Objection("two_named", "batch", text, batch)]
    if not fish and not batch:
        return [Objection("missing_id", "fish", "Say which fish it is, or which batch.")]
    if batch and known.find_batch(batch) is None:
        return [unknown_batch(batch)]
    if fish and known.find_fish(fish) is None:
        return [Objection("unknown_fish", "fish", f"There is no fish {fish} in the register.", fish)]
    return []


def objections_to_batch_there(batch: KnownBatch, day: date, field: str) -> list[Objection]:
    """Return why there was nothing in a batch on a day."""
    if batch.opened_on and day < batch.opened_on:
        return [objection_before_start(batch, day).on(field)]
    if batch.balance(day) <= 0:
        text = f"Batch {batch.number} holds no fish on {spoken(day)}. Correct the day or the batch."
        return [Objection("over_balance", field, text, batch.number)]
    return []


def _named(held: KnownFish | KnownBatch) -> str:
    return f"{_field(held).capitalize()} {held.number}"


def _field(held: KnownFish | KnownBatch) -> str:
    return "batch" if isinstance(held, KnownBatch) else "fish"


def _objections_to_another(entry: QuarantineStart, held: KnownFish | KnownBatch) -> list[Objection]:
    hold = held.open_quarantine()
    if hold:
        text = f"{_named(held)} is in quarantine since {spoken(hold.since)}. End that one first."
        return [Objection("in_quarantine", _field(held), text, held.number)]
    if any(one.until and entry.since < one.until for one in held.quarantines):
        last = max(one.until for one in held.quarantines if one.until)
        text = f"An earlier quarantine of {held.number} lasted until {spoken(last)}. Correct the day."
        return [Objection("two_places", "since", text)]
    return []


def _objections_to_fish(entry: QuarantineStart, fish: KnownFish) -> list[Objection]:
    found = []
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


def _future(field: str, day: date) -> Objection:
    return Objection("future_date", field, f"{spoken(day)} lies in the future. Correct the day.", str(day))
