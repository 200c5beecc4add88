"""What may be entered of a fish in hand."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.known import Known, KnownFish
from registry.rules.tags import TagCode
from registry.rules.texts import objections_to_texts

# A fish somewhat larger than the largest one published is a record; half as large again is a slip of the pen.
BEYOND_RECORD = Decimal("1.5")
# Outside this band of the condition factor a length or mass is asked about; common practice, no source.
FULTON = Decimal("0.2"), Decimal("1.2")


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A fish in hand. Lengths in mm, mass in g; what was not measured is None. `code` is the tag that was read."""

    fish: str
    checked_on: date
    total_length_mm: Decimal | None = None
    fork_length_mm: Decimal | None = None
    girth_mm: Decimal | None = None
    mass_g: Decimal | None = None
    sex_found: str = ""
    stage: str = ""
    method: str = ""
    polarisation_index: Decimal | None = None
    oocytes_measured: int | None = None
    water_c: Decimal | None = None
    code: TagCode | None = None
    notes: str = ""


def objections_to_measurement(entry: Measurement, known: Known) -> list[Objection]:
    """Return what is in the way of this measurement, and warnings."""
    found = objections_to_texts(entry)
    fish = known.find_fish(entry.fish)
    if fish is None:
        return [
            *found,
            Objection("unknown_fish", "fish", f"There is no fish {entry.fish} in the register.", entry.fish),
        ]
    found += _objections_to_day(entry.checked_on, fish, known.today)
    found += _objections_to_size(entry, fish, known) + _objections_to_shape(entry)
    found += _objections_to_sex(entry, fish)
    if entry.polarisation_index is not None and not 0 < entry.polarisation_index < Decimal("0.5"):
        found.append(
            Objection(
                "implausible",
                "polarisation_index",
                f"A polarisation index of {entry.polarisation_index} is not possible: it lies above 0 and below 0.5. "
                "Measure again.",
            )
        )
    sizes = (entry.total_length_mm, entry.fork_length_mm, entry.girth_mm, entry.mass_g)
    nothing = not any(one is not None for one in sizes) and not entry.sex_found and not entry.stage
    if nothing and entry.polarisation_index is None and not entry.notes:
        found.append(Objection("nothing_measured", "", "Nothing was measured. Enter at least one finding."))
    return found


def _objections_to_day(day: date, fish: KnownFish, today: date) -> list[Objection]:
    if day > today:
        return [Objection("future_date", "checked_on", f"{spoken(day)} lies in the future. Correct the day.", str(day))]
    if fish.left_on and day > fish.left_on.last:
        return [
            Objection(
                "after_death",
                "checked_on",
                f"Fish {fish.number} {fish.left} {fish.left_on}, before {spoken(day)}.",
                str(day),
            )
        ]
    if fish.came and day < fish.came.first:
        verb = "hatched" if fish.hatched else "was caught"
        return [
            Objection(
                "before_hatch", "checked_on", f"Fish {fish.number} {verb} {fish.came}, after {spoken(day)}.", str(day)
            )
        ]
    return []


def _objections_to_size(entry: Measurement, fish: KnownFish, known: Known) -> list[Objection]:
    found = []
    species = known.species.get(fish.species)
    longest = species.max_length_mm if species else None
    for field, unit, largest in (
        ("total_length_mm", "mm", longest),
        ("fork_length_mm", "mm", longest),
        ("girth_mm", "mm", longest),
        ("mass_g", "g", species.max_mass_g if species else None),
    ):
        value = getattr(entry, field)
        if value is None:
            continue
        if value <= 0:
            found.append(Objection("negative", field, f"{value} {unit} is not above zero. Measure again.", str(value)))
        elif largest and value > largest * BEYOND_RECORD:
            found.append(
                Objection(
                    "implausible",
                    field,
                    f"{value} {unit} is far beyond the largest of the species ({largest} {unit}). Check the unit.",
                    str(value),
                )
            )
        elif largest and value > largest:
            text = f"{value} {unit} is over the largest of the species on record ({largest} {unit}). Measure again."
            found.append(Objection("record_size", field, text, str(value), warning=True))
    return found


def _objections_to_shape(entry: Measurement) -> list[Objection]:
    """What cannot be: a fork beyond the tail, a girth over the length; and a mass odd for the length."""
    found = []
    total, fork, girth = entry.total_length_mm, entry.fork_length_mm, entry.girth_mm
    if total and fork and fork > total:
        text = f"The fork length ({fork} mm) is over the total length ({total} mm). Measure again."
        found.append(Objection("implausible", "fork_length_mm", text, str(fork)))
    length = fork or total
    if length and girth and girth > length:
        text = f"A girth of {girth} mm is over the length ({length} mm). Measure again."
        found.append(Objection("implausible", "girth_mm", text, str(girth)))
    condition = fulton(length, entry.mass_g)
    if condition is not None and not FULTON[0] <= condition <= FULTON[1]:
        text = (
            f"{entry.mass_g} g at {length} mm is a condition factor of {condition:.2f}; usual is {FULTON[0]} to "
            f"{FULTON[1]}. Check length, mass and their units."
        )
        found.append(Objection("odd_condition", "mass_g", text, str(entry.mass_g), warning=True))
    return found


def fulton(length_mm: Decimal | None, mass_g: Decimal | None) -> Decimal | None:
    """Return Fulton's condition factor K = 100 W/L³ with W in g and L in cm; None where one is missing."""
    if not length_mm or not mass_g or length_mm <= 0 or mass_g <= 0:
        return None
    return 100 * mass_g / (length_mm / 10) ** 3


def _objections_to_sex(entry: Measurement, fish: KnownFish) -> list[Objection]:
    if not entry.sex_found or entry.sex_found == "U" or fish.sex in ("U", entry.sex_found):
        return []
    words = {"F": "female", "M": "male", "I": "intersex"}
    return [
        Objection(
            "sex_conflict",
            "sex_found",
            f"Found {words[entry.sex_found]}, but {fish.number} is on record as {words[fish.sex]}. "
            "Both are kept; look again.",
            entry.sex_found,
            warning=True,
        )
    ]
