"""Any table as CSV or XLSX, written row by row: a list of a hundred thousand fish is never held as a whole."""

import csv
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from io import StringIO
from tempfile import TemporaryFile
from typing import IO, Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

# A spreadsheet takes a text that begins so for a formula (common practice against "CSV injection").
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
XLSX_ROWS = 1_048_576
KINDS = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def harmless(value: Any) -> Any:
    """Return a text that no spreadsheet runs: one that begins like a formula gets a leading apostrophe."""
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return f"'{value}"
    return value


def csv_lines(headings: Sequence[str], rows: Iterable[Sequence[Any]]) -> Iterator[bytes]:
    """Yield a CSV file in pieces: UTF-8 with byte order mark, commas, CR LF, ISO dates."""
    yield "\ufeff".encode()
    page = StringIO()
    writer = csv.writer(page)
    writer.writerow([harmless(heading) for heading in headings])
    for row in rows:
        writer.writerow([_as_text(value) for value in row])
        if page.tell() > 65_536:
            yield page.getvalue().encode()
            page.seek(0)
            page.truncate()
    yield page.getvalue().encode()


def xlsx_file(title: str, headings: Sequence[str], rows: Iterable[Sequence[Any]]) -> IO[bytes]:
    """Return an open XLSX file at its start: bold headings that stay in sight, numbers as numbers, days as days."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet("".join(c for c in title if c not in r"[]:*?/\\")[:31] or "Sheet")
    sheet.freeze_panes = "A2"
    for place, heading in enumerate(headings, start=1):
        sheet.column_dimensions[get_column_letter(place)].width = max(12, min(40, len(heading) + 4))
    sheet.append([_bold(sheet, harmless(heading)) for heading in headings])
    for row in rows:
        sheet.append([_cell(sheet, value) for value in row])
    file = TemporaryFile()  # noqa: SIM115  (the response closes it)
    book.save(file)
    file.seek(0)
    return file


def _as_text(value: Any) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date | datetime):
        return value.isoformat()
    return harmless(value if isinstance(value, str | int | float | Decimal) else str(value))


def _cell(sheet: Any, value: Any) -> Any:
    if value is None or (isinstance(value, int | float | Decimal) and not isinstance(value, bool)):
        return value
    if isinstance(value, date) and not isinstance(value, datetime):
        cell = WriteOnlyCell(sheet, value=value)
        cell.number_format = "yyyy-mm-dd"
        return cell
    return _printable(_as_text(value))


def _printable(text: str) -> str:
    # XLSX is XML 1.0, which has no place for other control characters.
    return "".join(c for c in text if c >= " " or c in "\t\n\r")


def _bold(sheet: Any, text: str) -> Any:
    cell = WriteOnlyCell(sheet, value=text)
    cell.font = Font(bold=True)
    return cell
