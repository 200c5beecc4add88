"""What may be entered of a release and of a fish met again."""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.intake.holds import objections_to_putting_out
from registry.rules.known import Known
from registry.rules.papers.acts import Act
from registry.rules.papers.permits import act_of_batch, act_of_fish, objections_to_permit
from registry.rules.tags import TagCode
from registry.rules.texts import objections_to_texts
from registry.rules.young.ledger import objections_to_taking, unknown_batch

# Largest mass published of any sturgeon: 3,200 kg, Huso huso (FishBase).
HEAVIEST_G = Decimal(3_200_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchPart:
    """How many fish of which batch."""

    batch: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseMade:
    """Fish put into open water: parts of batches, registered fish, or both. `number` empty: the register gives one."""

    released_on: date
    place: str
    number: str = ""
    latitude: Decimal | None = None
    longitude: Decimal | None = None
    batches: tuple[BatchPart, ...] = ()
    fish: tuple[str, ...] = ()
    permit: str = ""
    permit_reason: str = ""
    mark: str = ""
    mean_mass_g: Decimal | None = None
    stage: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecaptureMade:
    """A fish met again. `code` or `fish` links it for certain; `release` probably, by batch mark."""

    recaptured_on: date
    place: str
    number: str = ""
    latitude: Decimal | None = None
    longitude: Decimal | None = None
    fish: str = ""
    code: TagCode | None = None
    release: str = ""
    marks: str = ""
    total_length_mm: Decimal | None = None
    mass_g: Decimal | None = None
    alive: bool = True
    released_again: bool = True
    reported_by: str = ""
    notes: str = ""


def objections_to_release(entry: ReleaseMade, known: Known) -> list[Objection]:
    """Return what is in the way of this release, and warnings."""
    found = objections_to_texts(entry)
    if entry.released_on > known.today:
        found.append(
            Objection("future_date", "released_on", f"{spoken(entry.released_on)} lies in the future. Correct the day.")
        )
    if not entry.batches and not entry.fish:
        found.append(Objection("missing_count", "batches", "No fish were named. Give a batch with a number, or tags."))
    found += objections_to_circumstances(entry)
    if not entry.permit:
        found.append(
            Objection(
                "no_permit",
                "permit",
                "No permit number was given. Releases need one; ask the authority under local law.",
                warning=True,
            )
        )
    found += objections_to_permit(entry.permit, acts_of_release(entry, known), known, why=entry.permit_reason)
    found += _objections_to_batches(entry, known)
    found += _objections_to_fish(entry, known)
    return found


def acts_of_release(entry: ReleaseMade, known: Known) -> list[Act]:
    """Return what counts against the release's permit: its batch parts and its registered fish."""
    day, parts = entry.released_on, [(known.find_batch(part.batch), part.count) for part in entry.batches]
    found = [act_of_batch("release", day, batch, count, known) for batch, count in parts if batch]
    found += [act_of_fish("release", day, fish) for number in entry.fish if (fish := known.find_fish(number))]
    return [replace(act, place=entry.place) for act in found]


def objections_to_circumstances(entry: ReleaseMade) -> list[Objection]:
    """Return what is wrong with where and how the fish were released, and warnings."""
    found = []
    if not entry.place:
        found.append(Objection("missing_place", "place", "The place is missing. Say where the fish were released."))
    found += objections_to_position(entry.latitude, entry.longitude)
    if entry.mean_mass_g is not None and entry.mean_mass_g <= 0:
        found.append(Objection("negative", "mean_mass_g", f"{entry.mean_mass_g} g is not above zero. Weigh again."))
    if entry.mean_mass_g is not None and entry.mean_mass_g > HEAVIEST_G:
        text = f"{entry.mean_mass_g} g is more than any sturgeon weighs. Check the unit."
        found.append(Objection("implausible", "mean_mass_g", text))
    return found


def _objections_to_batches(entry: ReleaseMade, known: Known) -> list[Objection]:
    found = []
    for part in entry.batches:
        found += _objections_to_part(part, entry.released_on, known)
    for number, times in Counter(part.batch.casefold() for part in entry.batches).items():
        batch = known.find_batch(number)
        if batch and times > 1:
            text = f"Batch {batch.number} is named twice. Give one number for it."
            found.append(Objection("duplicate_id", "batches", text, batch.number))
    return found


def _objections_to_part(part: BatchPart, day: date, known: Known) -> list[Objection]:
    batch = known.find_batch(part.batch)
    if batch is None:
        return [unknown_batch(part.batch, "batches")]
    if part.count == 0:
        return [
            Objection(
                "missing_count", "count", f"How many fish of batch {batch.number} were released? The number is missing."
            )
        ]
    return objections_to_putting_out(batch, "batches", day) + objections_to_taking(batch, day, part.count)


def _objections_to_fish(entry: ReleaseMade, known: Known) -> list[Objection]:
    found = []
    for number, times in Counter(entry.fish).items():
        fish = known.find_fish(number)
        if fish is None:
            found.append(Objection("unknown_fish", "fish", f"There is no fish {number} in the register.", number))
            continue
        if times > 1:
            found.append(Objection("duplicate_id", "fish", f"Fish {number} is named twice.", number))
        if fish.left:
            found.append(
                Objection(
                    "after_death",
                    "fish",
                    f"Fish {fish.number} already {fish.left} {fish.left_on or ''}.".replace(" .", "."),
                    number,
                )
            )
        if fish.hybrid or fish.doubtful:
            found.append(
                Objection(
                    "hybrid",
                    "fish",
                    f"Fish {fish.number} is a hybrid or of doubtful species and is not released.",
                    number,
                )
            )
        found += objections_to_putting_out(fish, "fish", entry.released_on)
        if fish.came and entry.released_on < fish.came.first:
            found.append(
                Objection("before_hatch", "released_on", f"Fish {fish.number} came {fish.came}, later.", number)
            )
    return found


def objections_to_recapture(entry: RecaptureMade, known: Known) -> list[Objection]:
    """Return what is in the way of this recapture, and warnings."""
    found = objections_to_texts(entry)
    if entry.recaptured_on > known.today:
        found.append(
            Objection(
                "future_date", "recaptured_on", f"{spoken(entry.recaptured_on)} lies in the future. Correct the day."
            )
        )
    if not entry.place:
        found.append(Objection("missing_place", "place", "The place is missing. Say where the fish was met."))
    found += objections_to_position(entry.latitude, entry.longitude, asked=False)
    if entry.fish and known.find_fish(entry.fish) is None:
        found.append(Objection("unknown_fish", "fish", f"There is no fish {entry.fish} in the register.", entry.fish))
    if entry.code and entry.code not in known.tags:
        found.append(
            Objection(
                "unknown_tag",
                "code",
                f"Code {entry.code.code} is on no fish of the register; the recapture is kept without a link.",
                entry.code.code,
                warning=True,
            )
        )
    if not (entry.code or entry.fish or entry.release):
        found.append(
            Objection(
                "no_mark",
                "marks",
                "Without a code or mark this is not evidence of wild origin: take a fin clip.",
                warning=True,
            )
        )
    for field, unit in (("total_length_mm", "mm"), ("mass_g", "g")):
        value = getattr(entry, field)
        if value is not None and value <= 0:
            found.append(Objection("negative", field, f"{value} {unit} is not above zero. Measure again."))
    return found


def objections_to_position(latitude: Decimal | None, longitude: Decimal | None, asked: bool = True) -> list[Objection]:
    """Return why a position is none on Earth; `asked`: a missing one is warned of."""
    if latitude is None and longitude is None:
        if not asked:
            return []
        return [
            Objection(
                "no_position", "latitude", "No position was given. Add it if you can: decimal degrees.", warning=True
            )
        ]
    if latitude is None or longitude is None:
        missing = "latitude" if latitude is None else "longitude"
        return [Objection("bad_position", missing, f"The {missing} is missing. Give both or neither.")]
    found = []
    if not -90 <= latitude <= 90:
        found.append(
            Objection("bad_position", "latitude", f"Latitude {latitude} is not on Earth: −90 to 90.", str(latitude))
        )
    if not -180 <= longitude <= 180:
        found.append(
            Objection(
                "bad_position", "longitude", f"Longitude {longitude} is not on Earth: −180 to 180.", str(longitude)
            )
        )
    return found
