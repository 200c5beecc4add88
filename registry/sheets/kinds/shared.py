"""What all kinds of sheet share: a row being read, what came of it, and what a kind must say."""

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from difflib import SequenceMatcher
from typing import Any

from registry.errors import Objection
from registry.models import AcceptedName, Species, SpeciesName
from registry.operations.shared.desk import Deed
from registry.permissions import ENTER
from registry.queries.known import Named
from registry.rules.days import Day
from registry.rules.known import Known
from registry.rules.reading import Reading, shown
from registry.rules.tags import TagCode
from registry.sheets.cells import Cell, Row, is_blank
from registry.sheets.columns import Heading
from registry.sheets.dates import Order
from registry.sheets.numbers import DecimalSign
from registry.sheets.species import names_with_short_forms
from registry.sheets.values import id_key, read_tag, read_tags

ADDED, UNCHANGED, REFUSED = "added", "unchanged", "refused"


@dataclass(frozen=True, slots=True)
class Options:
    """How a sheet is to be read. `open_new`: stocks and units that it names for the first time are opened.

    `raw` is the order in which the reader of the tags hands out bits, for cells that hold raw bits.
    """

    as_of: date
    date_order: Order | None = None
    decimal: DecimalSign | None = None
    open_new: bool = False
    raw: str = ""


@dataclass(slots=True)
class Book:
    """What the register knows of a sheet, with its own spelling of every number, by `id_key`."""

    known: Known
    options: Options
    fish: dict[str, str] = field(default_factory=dict)
    families: dict[str, str] = field(default_factory=dict)
    batches: dict[str, str] = field(default_factory=dict)
    species: dict[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Verdict:
    """What is to become of one row: `status`, why, and the entry that would be made of it.

    `fields` leads from the entry's fields to the sheet's; `founds` is the number that the row brings into the register.
    """

    row: Row
    deed: Deed | None = None
    entry: Any = None
    fields: Mapping[str, str] = field(default_factory=dict)
    digest: str = ""
    founds: str = ""
    objections: list[Objection] = field(default_factory=list)
    status: str = ""

    @property
    def number(self) -> int:
        """Return the row's number as the person sees it."""
        return self.row.number

    @property
    def stopped(self) -> bool:
        """Return whether anything stops the row."""
        return any(not objection.warning for objection in self.objections)

    def object(self, objections: Iterable[Objection]) -> None:
        """Add objections; one that says the same of the same cell is not said twice."""
        said = {(o.code, o.field) for o in self.objections}
        self.objections += [o for o in objections if (o.code, o.field) not in said]


@dataclass(slots=True)
class RowReader:
    """One row, read cell by cell: collects what was understood and what was not."""

    row: Row
    columns: Mapping[str, Heading]
    raw: str = ""
    objections: list[Objection] = field(default_factory=list)
    values: dict[str, Any] = field(default_factory=dict)

    def cell(self, name: str) -> Cell:
        """Return the cell of one of our fields; None where the sheet has no such column."""
        column = self.columns.get(name)
        return self.row.cells[column.index] if column and column.index < len(self.row.cells) else None

    def blank(self, name: str) -> bool:
        """Return whether the cell shows nothing."""
        return is_blank(self.cell(name))

    def tag(self, name: str) -> Reading[TagCode]:
        """Return the tag code of a cell."""
        return read_tag(self.cell(name), self.raw)

    def tags(self, name: str) -> Reading[tuple[TagCode, ...]]:
        """Return the tag codes that a cell lists."""
        return read_tags(self.cell(name), self.raw)

    def unit(self, name: str) -> str | None:
        """Return the unit that the heading names."""
        column = self.columns.get(name)
        return column.unit if column else None

    def take(self, name: str, reading: Reading[Any]) -> Any:
        """Note a reading of one of our fields and return its value."""
        if reading.objections:
            self.objections += reading.on(name).objections
        self.values[name] = reading.value
        return reading.value

    def refuse(self, code: str, name: str, message: str) -> None:
        """Note a refusal of one of our fields."""
        cell = self.cell(name)
        self.objections.append(Objection(code, name, message, "" if is_blank(cell) else shown(cell)))

    @property
    def refused(self) -> bool:
        """Return whether any cell was not understood."""
        return any(not objection.warning for objection in self.objections)

    def digest(self) -> str:
        """Return what stands for the row's values as read: equal for an exact repeat, in whatever notation."""
        lines = [
            f"{name}={_plain(value)}" for name, value in sorted(self.values.items()) if value not in (None, (), "")
        ]
        return hashlib.sha256("\n".join(lines).casefold().encode("utf-8", "surrogatepass")).hexdigest()


def _plain(value: Any) -> str:
    if isinstance(value, TagCode):
        return value.code
    if isinstance(value, Day):
        return value.iso
    if isinstance(value, tuple):
        return "+".join(_plain(item) for item in value)
    return str(value)


@dataclass(frozen=True, slots=True)
class Draft:
    """The entry made of a row, who takes it, and where its fields stand in the sheet."""

    deed: Deed
    entry: Any
    fields: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of sheet. Remarks on a whole row hang on the field `key`.

    `gather` notes what a row names, before the register is asked; `read` makes the entry, None when a cell was not
    understood; `founds` says which number the row, once read, brings into the register; `order` takes all rows, refuses
    what only the whole sheet shows and returns the rows to be judged, in order; `permission` is what a person needs to
    enter one such row by hand.
    """

    name: str
    key: str
    gather: Callable[[RowReader, Named], None]
    read: Callable[[RowReader, Book], Draft | None]
    founds: Callable[[RowReader], str]
    order: Callable[[list[Verdict], Book], list[Verdict]]
    permission: str = ENTER


def nothing(_row: RowReader) -> str:
    """Rows of most kinds bring no number that later rows of the sheet could name."""
    return ""


def by_row(verdicts: list[Verdict], _book: Book) -> list[Verdict]:
    """Judge rows as they stand."""
    return waiting(verdicts)


def waiting(verdicts: list[Verdict]) -> list[Verdict]:
    """Return the rows that are yet to be judged."""
    return [verdict for verdict in verdicts if not verdict.status]


def open_book(known: Known, options: Options) -> Book:
    """Return what is known with the register's own spellings, and the catalogue's names of species."""
    return Book(
        known,
        options,
        fish={id_key(one.number): one.number for one in known.fish.values()},
        families={id_key(one.number): one.number for one in known.families.values()},
        batches={id_key(one.number): one.number for one in known.batches.values()},
        species=names_with_short_forms(_species_names()),
    )


def _species_names() -> dict[str, str]:
    names: dict[str, str] = dict(AcceptedName.objects.current().values_list("name", "species__key"))
    for key, scientific, common in Species.objects.current().values_list("key", "scientific_name", "common_name"):
        names |= {scientific: key, common: key}
    others = SpeciesName.objects.current().values_list("name", "species__key", "species__scientific_name")
    return {name: key for name, key, latin in others if not _old_spelling(name, latin)} | names


def _old_spelling(name: str, latin: str) -> bool:
    """Return whether a synonym is the name in an older spelling: read as the likest name, which is told."""
    return SequenceMatcher(None, name.casefold(), latin.casefold()).ratio() > 0.9 and name != latin


def spelt(names: Iterable[str | None]) -> set[str]:
    """Return names as they may stand in the register: as written, and without spaces."""
    return {form for name in names if name for form in (name, "".join(name.split()))}
