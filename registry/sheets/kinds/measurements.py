"""A sheet of fish in hand, found by the tag that was read: length, weight, sex and stage."""

from datetime import date

from registry.operations.checks import MEASUREMENT
from registry.queries.known import Named
from registry.rules.days import spoken
from registry.rules.intake.checks import Measurement
from registry.rules.known import KnownTag
from registry.rules.reading import warning
from registry.rules.tags import TagCode
from registry.sheets.dates import read_day
from registry.sheets.kinds.shared import Book, Draft, Kind, RowReader, by_row, nothing
from registry.sheets.numbers import read_length, read_mass
from registry.sheets.values import read_note
from registry.sheets.words import SexAndStage, read_sex, read_sex_and_stage, read_stage

_FIELDS = {"fish": "tag", "code": "tag", "checked_on": "date", "total_length_mm": "tl_mm", "mass_g": "weight_g"}
_IN_ONE = _FIELDS | {"sex_found": "sexstage", "stage": "sexstage"}
_APART = _FIELDS | {"sex_found": "sex"}


def _gather(row: RowReader, named: Named) -> None:
    if code := row.tag("tag").value:
        named.codes.add(code.code)


def _read(row: RowReader, book: Book) -> Draft | None:
    code = row.take("tag", row.tag("tag"))
    day = row.take("date", read_day(row.cell("date"), book.options.as_of, book.options.date_order))
    if row.blank("date"):
        row.refuse("bad_date", "date", "The day is missing. Enter when the fish was in hand.")
    length = row.take("tl_mm", read_length(row.cell("tl_mm"), row.unit("tl_mm"), book.options.decimal))
    mass = row.take("weight_g", read_mass(row.cell("weight_g"), row.unit("weight_g"), book.options.decimal))
    found = _sex_and_stage(row)
    notes = row.take("notes", read_note(row.cell("notes")))
    fish = _fish(row, code, day.first, book) if code and day else ""
    if row.refused:
        return None
    entry = Measurement(
        fish=fish,
        checked_on=day.first,
        total_length_mm=length,
        mass_g=mass,
        sex_found="" if found.sex == "U" else found.sex,
        stage=found.stage or "",
        code=code,
        notes=notes or "",
    )
    return Draft(MEASUREMENT, entry, _IN_ONE if "sexstage" in row.columns else _APART)


def _sex_and_stage(row: RowReader) -> SexAndStage:
    if "sexstage" in row.columns:
        return row.take("sexstage", read_sex_and_stage(row.cell("sexstage"))) or SexAndStage("U", None)
    sex = row.take("sex", read_sex(row.cell("sex")))
    return SexAndStage(sex or "U", row.take("stage", read_stage(row.cell("stage"))))


def _fish(row: RowReader, code: TagCode, day: date, book: Book) -> str:
    """Return the fish that bore the code that day, or bore it last before."""
    tags = book.known.tags.get(code, [])
    worn = next((tag for tag in tags if tag.on_day(day)), None)
    if worn:
        return worn.fish
    ended = [tag for tag in tags if tag.ended_on and tag.ended_on <= day]
    if ended:
        last = max(ended, key=lambda tag: tag.ended_on)
        _say_ended(row, last, book)
        return last.fish
    if tags:
        begun = min(tag.attached_on for tag in tags)
        message = f"Code {code.code} was put into fish {tags[0].fish} on {spoken(begun)}, later. Check code and day."
    else:
        message = f"Code {code.code} is on no fish of the register. Read the tag again, or enter the fish first."
    row.refuse("unknown_tag", "tag", message)
    return ""


def _say_ended(row: RowReader, tag: KnownTag, book: Book) -> None:
    fish = book.known.find_fish(tag.fish)
    if tag.ended_on is None or (fish and fish.left_on and fish.left_on.first == tag.ended_on):
        return
    message = (
        f"Code {tag.code.code} is noted as no longer on fish {tag.fish} since {spoken(tag.ended_on)}. "
        "It is taken as that fish; look whether the tag is still there."
    )
    row.objections.append(warning("code_ended", message, tag.code.code).on("tag"))


MEASUREMENTS = Kind("measurements", "tag", _gather, _read, nothing, by_row)
