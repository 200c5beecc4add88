"""What may be entered of a fish."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import DAY, Day, surely_before
from registry.rules.identity.set_aside import CodeAside, bearer, objections_to_code_aside
from registry.rules.intake.samples import SampleTaken, objections_to_sample_number
from registry.rules.known import Known, KnownFish, Pair
from registry.rules.parents import objections_before_spawning, objections_to_pairs, objections_to_parents
from registry.rules.tagging import TagAttachment, objections_to_attachment
from registry.rules.tags import TagCode
from registry.rules.texts import objections_to_texts

SEXES = ("F", "M", "U", "I")
ORIGINS = ("wild", "hatchery", "captive", "unknown")


@dataclass(frozen=True, slots=True, kw_only=True)
class Admission:
    """A fish entered into the register. `species` is a catalogue key; `pairs` empty means a founder."""

    number: str
    species: str = ""
    confidence: str = "field"
    hybrid: bool = False
    stock: str = ""
    sex: str = "U"
    origin: str = "unknown"
    caught: Day | None = None
    caught_at: str = ""
    hatched: Day | None = None
    pairs: tuple[Pair, ...] = ()
    basis: str = "recorded"
    family: str = ""
    frozen_milt: bool = False
    tag: TagCode | None = None
    tag_site: str = ""
    tagged_on: date | None = None
    left: str = ""
    left_on: Day | None = None
    unit: str = ""
    tissue_sample: str = ""
    notes: str = ""
    # Why it is another fish, where the code is on record on one already: the code is set aside.
    set_aside: str = ""
    # Fish of the register that were offered as this one, by number, each with what spoke for it: held to be others.
    held_apart: tuple[tuple[str, str], ...] = ()


def as_known(entry: Admission) -> KnownFish:
    """Return the fish as the register will know it."""
    return KnownFish(
        number=entry.number,
        species=entry.species,
        doubtful=entry.confidence == "doubtful",
        hybrid=entry.hybrid,
        stock=entry.stock,
        sex=entry.sex,
        origin=entry.origin,
        caught=entry.caught,
        hatched=entry.hatched,
        left=entry.left,
        left_on=entry.left_on,
        family=entry.family,
        pairs=entry.pairs,
        tissue=bool(entry.tissue_sample),
    )


def sample_of(entry: Admission) -> SampleTaken:
    """Return the fin clip that an admission names: taken as the fish was tagged or caught, if that day is known."""
    caught = entry.caught.first if entry.caught and entry.caught.precision == DAY else None
    return SampleTaken(fish=entry.number, number=entry.tissue_sample, taken_on=entry.tagged_on or caught)


def objections_to_admission(entry: Admission, known: Known) -> list[Objection]:
    """Return everything that is in the way of entering this fish, and warnings."""
    found = objections_to_texts(entry)
    found += _objections_to_number(entry.number, known)
    found += objections_to_facts(entry, known)
    found += objections_to_pairs(entry.pairs)
    child = as_known(entry)
    found += objections_to_parents(child, known, entry.frozen_milt)
    found += _objections_to_family(entry, known)
    if entry.tissue_sample:
        found += objections_to_sample_number(entry.tissue_sample, "tissue_sample", known)
    if aside := code_aside(entry, known):
        found += objections_to_code_aside(aside, known, child)
    elif entry.tag:
        attachment = TagAttachment(fish=entry.number, code=entry.tag, attached_on=tagging_day(entry, known.today))
        on_day = ("after_death", "before_hatch", "future_date") if entry.tagged_on is None else ()
        found += [o for o in objections_to_attachment(attachment, known, child) if o.code not in on_day]
    return found


def code_aside(entry: Admission, known: Known) -> CodeAside | None:
    """Return the fish's code as one that is set aside; None where it says no reason, or no other fish bears it."""
    day = tagging_day(entry, known.today)
    if entry.tag is None or not entry.set_aside.strip() or bearer(entry.tag, day, known) is None:
        return None
    return CodeAside(fish=entry.number, code=entry.tag, read_on=day, reason=entry.set_aside)


def tagging_day(entry: Admission, today: date) -> date:
    """Return the day from which the tag counts: as told, else the first day on which the fish was in hand."""
    first = entry.caught or entry.hatched or entry.left_on
    return entry.tagged_on or (first.first if first else today)


def objections_to_facts(entry: Admission, known: Known) -> list[Objection]:
    """Return what is wrong with the plain facts of a fish: words that the register does not know, impossible days."""
    return _objections_to_words(entry, known) + _objections_to_days(entry, known.today)


def _objections_to_number(number: str, known: Known) -> list[Objection]:
    if not number:
        return [Objection("missing_id", "number", "The register number is missing. Every fish needs one.")]
    if known.find_fish(number):
        return [
            Objection(
                "duplicate_id",
                "number",
                f"Number {number} is already another fish. Numbers are never used twice: take another.",
                number,
            )
        ]
    return []


def _objections_to_words(entry: Admission, known: Known) -> list[Objection]:
    found = []
    if entry.species and entry.species not in known.species:
        found.append(
            Objection("bad_species", "species", f"“{entry.species}” is not in the species catalogue.", entry.species)
        )
    if entry.stock and entry.stock not in known.stocks:
        found.append(
            Objection(
                "bad_stock",
                "stock",
                f"There is no stock “{entry.stock}”. Choose one ({_listed(known.stocks)}), or have it opened.",
                entry.stock,
            )
        )
    elif entry.stock and entry.species and known.stocks[entry.stock] != entry.species and not entry.hybrid:
        found.append(
            Objection(
                "wrong_species",
                "stock",
                f"Stock {entry.stock} is of another species than {entry.species}.",
                entry.stock,
            )
        )
    if entry.unit and entry.unit not in known.units:
        found.append(Objection("unknown_unit", "unit", f"There is no holding unit “{entry.unit}”.", entry.unit))
    if entry.sex not in SEXES:
        found.append(
            Objection("bad_sex", "sex", f"Sex “{entry.sex}” is not F, M, U (not known) or I (intersex).", entry.sex)
        )
    if entry.origin not in ORIGINS:
        found.append(
            Objection(
                "bad_origin", "origin", f"Origin “{entry.origin}” is not one of {', '.join(ORIGINS)}.", entry.origin
            )
        )
    return found


def _listed(names: Iterable[str]) -> str:
    return ", ".join(sorted(names)) or "there is none yet"


def _objections_to_days(entry: Admission, today: date) -> list[Objection]:
    found = []
    for field in ("caught", "hatched", "left_on"):
        day = getattr(entry, field)
        if day and day.first > today:
            found.append(Objection("future_date", field, f"{day} lies in the future. Correct the day.", str(day)))
    came = entry.hatched or entry.caught
    if came and entry.left_on and surely_before(entry.left_on, came):
        verb = "hatched" if entry.hatched else "was caught"
        found.append(
            Objection(
                "death_before_hatch",
                "left_on",
                f"The fish {entry.left} {entry.left_on}, before it {verb} ({came}).",
                str(entry.left_on),
            )
        )
    return found


def _objections_to_family(entry: Admission, known: Known) -> list[Objection]:
    family = known.find_family(entry.family) if entry.family else None
    found = objections_before_spawning(family, entry.hatched, "hatched")
    if family is None or not family.pairs or not entry.pairs:
        return found
    if {(p.dam, p.sire) for p in family.pairs} == {(p.dam, p.sire) for p in entry.pairs}:
        return found
    return [
        *found,
        Objection(
            "duplicate_id",
            "family",
            f"Family {entry.family} is in the register with other parents. Correct the parents or the family number.",
            entry.family,
        ),
    ]
