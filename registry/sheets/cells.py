"""What a sheet is made of, once read: rows of cells under a heading row."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from registry.errors import Objection

MAX_BYTES = 50 * 2**20
MAX_ROWS = 200_000
MAX_COLUMNS = 200
_INVISIBLE = dict.fromkeys(map(ord, "\u200b\u2060\ufeff"))
_NOTHING = "\u200b\u2060\ufeff\xa0\u2007\u2009\u202f \t\r\n\v\f"


@dataclass(frozen=True, slots=True)
class UnsavedFormula:
    """A formula whose result the spreadsheet program did not store."""

    text: str


Cell = str | int | float | bool | datetime | date | time | timedelta | UnsavedFormula | None


@dataclass(frozen=True, slots=True)
class Row:
    """One row; `number` is what the person sees at its left edge in the spreadsheet program."""

    number: int
    cells: tuple[Cell, ...]
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class Ignored:
    """A row that holds no record, and why: `title`, `heading`, `blank` or `totals`."""

    number: int
    why: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table of a file. `objections` are warnings about the sheet as a whole."""

    name: str
    heading_row: int
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    ignored: tuple[Ignored, ...] = ()
    objections: tuple[Objection, ...] = ()


def is_blank(cell: Cell) -> bool:
    """Return whether a cell shows nothing."""
    return cell is None or (isinstance(cell, str) and not cell.strip(_NOTHING))


def tidy(text: str) -> str:
    """Return a text without invisible marks, with single plain spaces, and none at its ends."""
    if not text.isascii():
        text = text.translate(_INVISIBLE)
    return " ".join(text.split())
