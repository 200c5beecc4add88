"""What may be entered of a capture, of the search for marks, and of how a fish looked."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.intake.in_hand import objections_to_being_in_hand
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts
from registry.rules.young.releases import objections_to_position

# Every way in which a fish that comes from outside is looked over.
WAYS = {
    "pit": "PIT scan of the whole body",
    "pit older": "scan for older PIT tags",
    "wire": "coded wire",
    "elastomer": "elastomer under UV light",
    "external": "external tags",
    "clip": "clips",
    "scar": "scars",
}
# Beyond any journey with a live fish, any river and any water; common practice, no source.
LONGEST_JOURNEY_MINUTES, LONGEST_RIVER_KM, FULL_OXYGEN_MG_L = 7 * 24 * 60, Decimal(7000), Decimal(60)
LOW_OXYGEN_MG_L = Decimal(5)
LENGTHS = {"gear": 80, "crew": 200, "permit": 60, "zone": 40, "injuries": 200}


@dataclass(frozen=True, slots=True, kw_only=True)
class CaptureMade:
    """A fish caught and brought in. `caught_at` bears the offset of the zone in which the clock was read."""

    fish: str
    caught_at: datetime
    zone: str
    place: str
    latitude: Decimal | None = None
    longitude: Decimal | None = None
    uncertainty_m: int | None = None
    river_km: Decimal | None = None
    gear: str = ""
    crew: str = ""
    permit: str = ""
    permit_reason: str = ""
    transport: str = ""
    transport_minutes: int | None = None
    density_kg_m3: Decimal | None = None
    oxygen_mg_l: Decimal | None = None
    notes: str = ""

    @property
    def caught_on(self) -> date:
        """Return the day on which it was caught, by the clock of the place."""
        return self.caught_at.date()


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkLooked:
    """One way of looking for marks: whether it was done, and what it showed."""

    way: str
    looked: bool
    found: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HealthSeen:
    """How a fish looked: score 1 (dying) to 5 (sound), injuries, a hook or its wound."""

    fish: str
    looked_on: date
    score: int | None = None
    injuries: str = ""
    hook: bool = False
    notes: str = ""


def objections_to_capture(entry: CaptureMade, now: datetime) -> list[Objection]:
    """Return what is in the way of this capture, and warnings. `now` is the moment of entering."""
    found = objections_to_texts(entry, LENGTHS)
    if entry.caught_at > now:
        text = f"{spoken(entry.caught_on)}, {entry.caught_at:%H:%M} ({entry.zone}) lies in the future. Correct it."
        found.append(Objection("future_date", "caught_at", text))
    if not entry.place:
        found.append(Objection("missing_place", "place", "The place is missing. Say where the fish was caught."))
    found += objections_to_position(entry.latitude, entry.longitude)
    if entry.uncertainty_m is not None and entry.latitude is None:
        text = "An uncertainty was given without a position. Give the position, or take it out."
        found.append(Objection("bad_position", "uncertainty_m", text))
    found += _objections_to_figures(entry)
    if not entry.permit:
        text = "No permit number was given. Taking a protected fish needs one; ask the authority under local law."
        found.append(Objection("no_permit", "permit", text, warning=True))
    return found


def objections_to_marks(marks: Iterable[MarkLooked], origin: str) -> list[Objection]:
    """Return what is wrong with the search for marks, and the warning that some were not looked for."""
    by_way = {one.way: one for one in marks}
    found: list[Objection] = []
    for way, one in by_way.items():
        found += objections_to_texts(one)
        if way not in WAYS:
            found.append(Objection("bad_way", "marks", f"“{way}” is no way of looking for marks."))
        elif one.found and not one.looked:
            text = f"{WAYS[way][:1].upper()}{WAYS[way][1:]}: something was found where nobody looked. Tick that it was."
            found.append(Objection("not_looked", f"marks.{way}", text))
    missed = [words for way, words in WAYS.items() if way not in by_way or not by_way[way].looked]
    if missed:
        text = f"Not looked for: {', '.join(missed)}. A mark not seen makes a known fish a false founder: look now."
        found.append(Objection("marks_not_sought", "marks", text, warning=True))
    seen = [f"{WAYS[way]} ({one.found})" for way, one in by_way.items() if one.found and way in WAYS]
    if seen and origin == "wild":
        text = f"Found: {', '.join(seen)}. Somebody had this fish in hand: look the mark up first."
        found.append(Objection("marked", "marks", text, warning=True))
    return found


def objections_to_health(entry: HealthSeen, known: Known) -> list[Objection]:
    """Return what is in the way of noting how a fish looked."""
    found = objections_to_texts(entry, LENGTHS)
    found += objections_to_being_in_hand(entry.fish, "looked_on", entry.looked_on, known)
    if entry.score is not None and not 1 <= entry.score <= 5:
        found.append(Objection("bad_score", "score", f"A score of {entry.score} is not on the scale from 1 to 5."))
    if entry.score is None and not (entry.injuries or entry.hook or entry.notes):
        found.append(Objection("nothing_seen", "score", "Nothing was noted. Give a score, or what was seen."))
    return found


def _objections_to_figures(entry: CaptureMade) -> list[Objection]:
    bounds = (
        ("transport_minutes", "min", LONGEST_JOURNEY_MINUTES),
        ("river_km", "km", LONGEST_RIVER_KM),
        ("oxygen_mg_l", "mg/L", FULL_OXYGEN_MG_L),
        ("density_kg_m3", "kg/m³", Decimal(1000)),
    )
    found = []
    for field, unit, most in bounds:
        value = getattr(entry, field)
        if value is not None and not 0 <= value <= most:
            text = f"{value} {unit} is not possible: 0 to {most} {unit}. Check the unit."
            found.append(Objection("implausible", field, text, str(value)))
    if entry.oxygen_mg_l is not None and 0 <= entry.oxygen_mg_l < LOW_OXYGEN_MG_L:
        text = f"{entry.oxygen_mg_l} mg/L is little oxygen (under {LOW_OXYGEN_MG_L} mg/L): watch the fish."
        found.append(Objection("low_oxygen", "oxygen_mg_l", text, warning=True))
    return found
