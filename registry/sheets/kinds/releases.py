"""A sheet of releases: part of a batch, or single fish by their codes."""

from datetime import date

from registry.operations.young.releases import RELEASING
from registry.permissions import RELEASE
from registry.queries.known import Named
from registry.rules.known import KnownTag
from registry.rules.tags import TagCode
from registry.rules.young.releases import BatchPart, ReleaseMade
from registry.sheets.dates import read_day
from registry.sheets.kinds.shared import Book, Draft, Kind, RowReader, by_row, nothing, spelt
from registry.sheets.numbers import read_count, read_mass
from registry.sheets.positions import Position, read_position
from registry.sheets.values import id_key, read_id, read_key, read_note, read_text

FIELDS = {
    "released_on": "date", "moved_on": "date", "latitude": "lat", "longitude": "lon", "batch": "source",
    "batches": "source", "fish": "source", "mean_mass_g": "mean_weight_g",
}  # fmt: skip


def _gather(row: RowReader, named: Named) -> None:
    named.batches |= spelt([read_id(row.cell("source")).value])
    named.codes |= {code.code for code in row.tags("source").value or ()}
    named.permits |= {read_text(row.cell("permit")).value or ""}


def _read(row: RowReader, book: Book) -> Draft | None:
    day = row.take("date", read_day(row.cell("date"), book.options.as_of, book.options.date_order))
    if row.blank("date"):
        row.refuse("bad_date", "date", "The day of the release is missing. Enter it.")
    place = row.take("place", read_text(row.cell("place")))
    position: Position | None = _position(row)
    batch, codes = _source(row, book)
    count = row.take("count", read_count(row.cell("count"), required=not codes))
    mass = row.take(
        "mean_weight_g", read_mass(row.cell("mean_weight_g"), row.unit("mean_weight_g"), book.options.decimal)
    )
    mark, permit = (row.take(name, read_text(row.cell(name))) for name in ("mark", "permit"))
    notes = row.take("notes", read_note(row.cell("notes")))
    fish = _fish(row, codes, day.first, book) if day else ()
    if fish and count is not None and count != len(codes):
        message = f"The row counts {count} fish but names {len(codes)} codes. Correct one of the two."
        row.refuse("over_balance", "count", message)
    if row.refused:
        return None
    entry = ReleaseMade(
        released_on=day.first,
        place=place or "",
        latitude=position.lat if position else None,
        longitude=position.lon if position else None,
        batches=(BatchPart(batch=batch, count=count),) if batch else (),
        fish=fish,
        permit=permit or "",
        mark=mark or "",
        mean_mass_g=mass,
        notes=notes or "",
    )
    return Draft(RELEASING, entry, FIELDS)


def _position(row: RowReader) -> Position | None:
    reading = read_position(row.cell("lat"), row.cell("lon"))
    row.objections += reading.objections
    row.values["position"] = reading.value
    return reading.value


def _source(row: RowReader, book: Book) -> tuple[str, tuple[TagCode, ...]]:
    """Return the batch that the cell names, or the codes that it lists."""
    name = row.take("source", read_key(row.cell("source"), book.batches))
    codes = row.tags("source")
    if name is None or id_key(name) in book.batches or codes.refused or not codes.value:
        return name or "", ()
    return "", row.take("source", codes)


def _fish(row: RowReader, codes: tuple[TagCode, ...], day: date, book: Book) -> tuple[str, ...]:
    """Return the fish that bore the codes on the day."""
    found = []
    for code in codes:
        tags: list[KnownTag] = [tag for tag in book.known.tags.get(code, []) if tag.on_day(day)]
        if tags:
            found.append(tags[0].fish)
        else:
            message = f"Code {code.code} is on no fish of the register on that day. Read the tag again."
            row.refuse("unknown_tag", "source", message)
    return tuple(found)


RELEASES = Kind("releases", "date", _gather, _read, nothing, by_row, RELEASE)
