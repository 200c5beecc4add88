"""A file that somebody kept, CSV or XLSX, to a sheet: heading row found, titles, blanks and totals left out."""

import re
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from pathlib import Path

from registry.errors import Objection, Refused
from registry.rules.reading import shown
from registry.sheets.cells import (
    MAX_BYTES,
    MAX_COLUMNS,
    MAX_ROWS,
    Cell,
    Ignored,
    Row,
    Sheet,
    UnsavedFormula,
    is_blank,
    tidy,
)
from registry.sheets.csv_rows import csv_rows
from registry.sheets.xlsx_rows import xlsx_sheets

Knows = Callable[[str], bool]
_HEADING_WITHIN = 40
_CONTROLS = bytes(set(range(32)) - set(b"\t\n\v\f\r")) + b"\x7f"
_OLD_OFFICE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_OTHER_FILES = {
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
    b"Rar!": "a packed archive",
    b"7z\xbc\xaf": "a packed archive",
    b"\x1f\x8b": "a packed archive",
    b"SQLite format": "a database",
    b"{\\rtf": "a text document",
}
_TOTALS = {
    "total", "totals", "subtotal", "sum", "sums", "mean", "means", "average", "averages", "avg", "median", "min",
    "max", "minimum", "maximum", "σ", "∑", "summe", "gesamt", "mittel", "mittelwert", "somme", "moyenne", "suma",
    "media", "razem", "всего", "итого",
}  # fmt: skip
_NUMBER_TEXT = re.compile(r"[~-]?\d{1,3}(?:[ .,']?\d{3})*\d*(?:[.,]\d+)? ?(?:%|kg|g|cm|mm|k)?|#\S+", re.IGNORECASE)


def read_sheet(source: bytes | Path, filename: str, knows: Knows, sheet: str | None = None) -> Sheet:
    """Return the table of a file.

    `knows` tells a known heading from other text; the row that has most of them is the heading row. In a workbook the
    sheet is the one named, or the one whose heading row fits best. Raises Refused with code `empty_file`,
    `too_large`, `not_a_table`, `encrypted`, `no_such_sheet` or `no_heading`.
    """
    data = _bytes_of(source, filename)
    _refuse_other_files(data, filename)
    if not data.startswith(b"PK"):
        rows = _within_limits(csv_rows(data, knows))
        return _table(Path(filename).stem, rows, knows)
    sheets = xlsx_sheets(data)
    name = _chosen(sheets, knows, sheet)
    return _table(name, _within_limits(sheets[name]()), knows)


def sheet_names(source: bytes | Path, filename: str) -> list[str]:
    """Return the names of a workbook's sheets; none for a CSV. Raises Refused as `read_sheet` does."""
    data = _bytes_of(source, filename)
    _refuse_other_files(data, filename)
    return list(xlsx_sheets(data)) if data.startswith(b"PK") else []


def _bytes_of(source: bytes | Path, filename: str) -> bytes:
    """Return the content, looking at the size before reading."""
    size = len(source) if isinstance(source, bytes) else source.stat().st_size
    if size > MAX_BYTES:
        message = (
            f"{filename} has {size / 2**20:.0f} MB; the limit is {MAX_BYTES // 2**20} MB. "
            "Split it by year, or save only the sheet that is wanted."
        )
        raise Refused(Objection("too_large", "", message, filename))
    data = source if isinstance(source, bytes) else source.read_bytes()
    if not data.strip(b"\xef\xbb\xbf \t\r\n\x00,;|"):
        raise _empty(filename)
    return data


def _empty(name: str) -> Refused:
    message = f"The file is empty: {name} has no heading and no rows. Choose the file that holds the table."
    return Refused(Objection("empty_file", "", message, name))


def _refuse_other_files(data: bytes, filename: str) -> None:
    if data.startswith(_OLD_OFFICE):
        if "EncryptedPackage".encode("utf-16-le") in data:
            message = f"{filename} is locked with a password. Open it, take the password off, save it again."
            raise Refused(Objection("encrypted", "", message, filename))
        message = f"{filename} is in the old XLS format. Open it and save it as XLSX or CSV."
        raise Refused(Objection("not_a_table", "", message, filename))
    head = data[:4096].lstrip().lower()
    kind = next((kind for mark, kind in _OTHER_FILES.items() if data.startswith(mark)), None)
    if head.startswith((b"<!doctype", b"<html", b"<?xml")):
        kind = "a web page or XML"
    elif not data.startswith((b"PK", b"\xff\xfe", b"\xfe\xff")) and _is_binary(data[:65536]):
        kind = "a program's own file"
    if kind:
        message = f"{filename} is {kind}, not a table. Save the table as XLSX or CSV and take that."
        raise Refused(Objection("not_a_table", "", message, filename))


def _is_binary(head: bytes) -> bool:
    """Return whether more bytes are control characters than slips of a keyboard or a logger explain."""
    controls = len(head) - len(head.translate(None, _CONTROLS))
    return controls > len(head) // 50 + 10


def _chosen(sheets: dict[str, Callable[[], Iterator[Row]]], knows: Knows, wanted: str | None) -> str:
    """Return the name of the sheet to read."""
    if wanted is None:
        return max(sheets, key=lambda name: _best_heading(list(islice(sheets[name](), _HEADING_WITHIN)), knows)[0])
    for name in sheets:
        if tidy(name).casefold() == tidy(wanted).casefold():
            return name
    message = f"The workbook has no sheet {wanted!r}; its sheets are {', '.join(sheets)}."
    raise Refused(Objection("no_such_sheet", "", message, wanted))


def _within_limits(rows: Iterable[Row]) -> list[Row]:
    """Return the rows up to the last that holds something; refuse more than the limits."""
    kept: list[Row] = []
    for row in rows:
        if len(row.cells) > MAX_COLUMNS:
            message = f"Row {row.number} has {len(row.cells)} cells; the limit is {MAX_COLUMNS} columns."
            raise Refused(Objection("too_large", "", message))
        if all(is_blank(cell) for cell in row.cells):
            continue
        if len(kept) == MAX_ROWS:
            message = f"The sheet has more than {MAX_ROWS:,} rows, the limit. Split it, by year for instance."
            raise Refused(Objection("too_large", "", message))
        kept.append(row)
    return kept


def _best_heading(rows: list[Row], knows: Knows) -> tuple[int, int]:
    """Return (known headings, place in `rows`) of the row that is most like a heading row."""
    counts = [sum(isinstance(cell, str) and knows(cell) for cell in row.cells) for row in rows[:_HEADING_WITHIN]]
    best = max(counts, default=0)
    return best, counts.index(best) if best else 0


def _table(name: str, rows: list[Row], knows: Knows) -> Sheet:
    if not rows:
        raise _empty(name)
    known, place = _best_heading(rows, knows)
    if not known:
        seen = ", ".join(shown(cell) for cell in rows[0].cells if not is_blank(cell))[:200]
        message = (
            f"No heading row was found in {name}: none of the first rows names a known column. Row 1 reads: {seen}."
        )
        message = message.replace("Row 1", f"Row {rows[0].number}")
        raise Refused(
            Objection("no_heading", "", message + " Put the headings above the rows, or give --columns.", name)
        )
    heading = rows[place]
    data, ignored = _sorted_out(rows[place + 1 :], heading)
    titles = [Ignored(number, "title") for number in range(1, heading.number)]
    message = f"{name} has headings in row {heading.number} but no rows below them; there is nothing to take in."
    remarks = () if data else (Objection("no_rows", "", message, name, warning=True),)
    headings = tuple("" if is_blank(cell) else str(cell) for cell in heading.cells)
    ignored = (*titles, Ignored(heading.number, "heading"), *ignored)
    return Sheet(name, heading.number, headings, tuple(data), ignored, remarks)


def _sorted_out(rows: list[Row], heading: Row) -> tuple[list[Row], list[Ignored]]:
    """Part the rows below the heading into records and rows to leave out."""
    data, ignored, last = [], [], heading.number
    headings = [_plain(cell) for cell in heading.cells]
    for row in rows:
        ignored += [Ignored(number, "blank") for number in range(last + 1, row.number)]
        last = row.number
        if len(row.cells) >= len(headings) and all(map(_is_heading, row.cells, headings)):
            ignored.append(Ignored(row.number, "heading"))
        elif _is_totals(row.cells):
            ignored.append(Ignored(row.number, "totals"))
        else:
            data.append(row)
    return data, ignored


def _is_heading(cell: Cell, heading: str) -> bool:
    return _plain(cell) == heading


def _plain(cell: Cell) -> str:
    return "" if is_blank(cell) else tidy(str(cell)).casefold()


def _is_totals(cells: tuple[Cell, ...]) -> bool:
    """Return whether a row begins with a word like Total and otherwise holds only numbers."""
    filled = [cell for cell in cells if not is_blank(cell)]
    if not filled or not isinstance(filled[0], str):
        return False
    words = tidy(filled[0]).casefold().replace("-", "").split()
    named = any(word.rstrip(":.=") in _TOTALS for word in words[:2])
    return named and all(
        _NUMBER_TEXT.fullmatch(tidy(cell)) if isinstance(cell, str) else isinstance(cell, int | float | UnsavedFormula)
        for cell in filled[1:]
    )
