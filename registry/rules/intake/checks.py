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


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A fish in hand. Lengths in mm, mass in g; what was not measured is None. `code` is the tag that was read."""

    fish: str
    checked_on: date
    total_length_mm: Decimal | None = None
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
    found += _objections_to_size(entry, fish, known)
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
    nothing = entry.total_length_mm is None and entry.mass_g is None and not entry.sex_found and not entry.stage
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
    for field, unit, largest in (
        ("total_length_mm", "mm", species.max_length_mm if species else None),
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
    return found


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
