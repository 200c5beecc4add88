"""A determination as it is entered: what was seen on a fish, and what was concluded from it."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.identity.characters import BY_KEY, FARM_SIGNS, LEFT, RIGHT
from registry.rules.identity.profile import Seen
from registry.rules.known import Known, KnownFish
from registry.rules.texts import objections_to_texts

CONFIDENCES = ("field", "expert", "genetic", "doubtful")


@dataclass(frozen=True, slots=True)
class Look:
    """One character seen: a look to name, or a number, `side` where each side is counted by itself."""

    character: str
    look: str = ""
    value: Decimal | None = None
    side: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Determined:
    """What was seen on a fish on a day, and the species concluded (empty: left open)."""

    fish: str
    determined_on: date
    looks: tuple[Look, ...] = ()
    signs: tuple[str, ...] = ()
    total_length_mm: Decimal | None = None
    mass_g: Decimal | None = None
    river: str = ""
    species: str = ""
    hybrid: bool = False
    confidence: str = "field"
    evidence: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """A row that was a mistake, and why."""

    pk: int
    reason: str


def as_seen(entry: Determined) -> Seen:
    """Return what was seen as the scores take it."""
    numbers: dict[str, tuple[float, ...]] = {}
    for look in entry.looks:
        if look.value is not None:
            numbers[look.character] = (*numbers.get(look.character, ()), float(look.value))
    return Seen(
        numbers=numbers,
        looks={look.character: look.look for look in entry.looks if look.look},
        signs=entry.signs,
        length_mm=None if entry.total_length_mm is None else float(entry.total_length_mm),
        mass_g=None if entry.mass_g is None else float(entry.mass_g),
        river=entry.river,
    )


def scutes_counted(entry: Determined | None) -> dict[str, int]:
    """Return the scutes counted, by character and side as `lateral_scutes left`: a fish keeps them for life."""
    looks = entry.looks if entry else ()
    return {
        f"{look.character} {look.side}".strip(): int(look.value)
        for look in looks
        if look.value is not None and look.character.endswith("scutes")
    }


def objections_to_determination(entry: Determined, known: Known) -> list[Objection]:
    """Return what is in the way of this determination, and warnings."""
    found = objections_to_texts(entry, {"river": 80})
    fish = known.find_fish(entry.fish)
    if fish is None:
        text = f"There is no fish {entry.fish} in the register."
        return [*found, Objection("unknown_fish", "fish", text, entry.fish)]
    found += _objections_to_day(entry.determined_on, fish, known.today)
    found += [o for look in entry.looks for o in objections_to_look(look)]
    if entry.species and entry.species not in known.species:
        text = f"“{entry.species}” is not in the species catalogue."
        found.append(Objection("bad_species", "species", text, entry.species))
    if entry.confidence not in CONFIDENCES:
        text = f"“{entry.confidence}” is not one of {', '.join(CONFIDENCES)}."
        found.append(Objection("bad_confidence", "confidence", text, entry.confidence))
    if entry.confidence == "genetic" and not entry.evidence:
        text = "Name the laboratory's report: a genetic determination stands on it."
        found.append(Objection("no_report", "evidence", text))
    if not entry.looks and not entry.evidence and not entry.notes:
        text = "Nothing was seen. Enter at least one character, or the report that the conclusion stands on."
        found.append(Objection("nothing_seen", "", text))
    return found + _doubts(entry, fish, known)


def objections_to_look(look: Look) -> list[Objection]:
    """Return what is wrong with one character as it was noted."""
    character = BY_KEY.get(look.character)
    if character is None:
        return [Objection("unknown_character", "", f"“{look.character}” is no character of the catalogue.")]
    field = f"{look.character}_{look.side}" if look.side else look.character
    if character.states:
        if look.look in {state.key for state in character.states}:
            return []
        return [
            Objection("unknown_look", field, f"“{look.look}” is not offered here. Choose one of the looks.", look.look)
        ]
    if look.value is None or not 0 <= look.value <= character.most:
        text = f"{character.name} run from 0 to {character.most}. Count again."
        return [Objection("impossible_number", field, text, str(look.value))]
    if look.side not in (("", LEFT, RIGHT) if character.both_sides else ("",)):
        return [Objection("unknown_side", field, f"{character.name} are not counted on a side “{look.side}”.")]
    return []


def known_signs(signs: tuple[str, ...]) -> tuple[str, ...]:
    """Return those signs of aquaculture that there are."""
    return tuple(sign for sign in FARM_SIGNS if sign in signs)


def _objections_to_day(day: date, fish: KnownFish, today: date) -> list[Objection]:
    if day > today:
        text = f"{spoken(day)} lies in the future. Correct the day."
        return [Objection("future_date", "determined_on", text, str(day))]
    if fish.came and day < fish.came.first:
        verb = "hatched" if fish.hatched else "was caught"
        text = f"Fish {fish.number} {verb} {fish.came}, after {spoken(day)}. Correct the day."
        return [Objection("before_hatch", "determined_on", text, str(day))]
    return []


def _doubts(entry: Determined, fish: KnownFish, known: Known) -> list[Objection]:
    if entry.species not in known.species or not fish.species or entry.species == fish.species:
        return []
    held = known.species[fish.species].name if fish.species in known.species else fish.species
    text = (
        f"Fish {fish.number} is on record as {held}, and this says {known.species[entry.species].name}. "
        "The record stays until a manager takes this over as a correction."
    )
    return [Objection("other_species", "species", text, entry.species, warning=True)]
