"""XLSX to rows, cell by cell, without ever holding the whole workbook."""

import io
import warnings
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache, partial
from xml.etree.ElementTree import Element, ParseError

import openpyxl
from defusedxml.ElementTree import iterparse
from openpyxl.utils import range_boundaries
from openpyxl.utils.cell import column_index_from_string as column_index
from openpyxl.utils.cell import coordinate_from_string
from openpyxl.worksheet._read_only import ReadOnlyWorksheet

from registry.errors import Objection, Refused
from registry.sheets.cells import MAX_COLUMNS, Cell, Row, UnsavedFormula, is_blank

MAX_UNZIPPED = 400 * 2**20
_NS = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
# What openpyxl and the parsers below it raise on files that are not what they seem.
BROKEN = (
    zipfile.BadZipFile, zlib.error, ParseError, KeyError, ValueError, TypeError, AttributeError, IndexError, EOFError,
    OSError, NotImplementedError, AssertionError,
)  # fmt: skip


@dataclass(slots=True)
class _Marks:
    """What the fast reader passes over: hidden rows, merged ranges, formulas without a stored result."""

    hidden: set[int] = field(default_factory=set)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    unsaved: dict[tuple[int, int], str] = field(default_factory=dict)


def xlsx_sheets(data: bytes) -> dict[str, Callable[[], Iterator[Row]]]:
    """Return for every sheet, by name and in order, what yields its rows.

    Raises Refused when the file is broken, is another kind of file or unpacks to more than the limit.
    """
    try:
        _check_archive(data)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        return {sheet.title: partial(_rows, sheet, cache(partial(_marks_of, sheet))) for sheet in book.worksheets}
    except BROKEN as error:
        raise _broken() from error


def _broken() -> Refused:
    message = (
        "The file cannot be opened as a spreadsheet: it is damaged. Open it in the spreadsheet program, save it again."
    )
    return Refused(Objection("not_a_table", "", message))


def _check_archive(data: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if "xl/workbook.xml" not in archive.namelist():
            message = "The file is not an XLSX workbook. Save the table as XLSX or CSV and take that."
            raise Refused(Objection("not_a_table", "", message))
        if sum(part.file_size for part in archive.infolist()) > MAX_UNZIPPED:
            message = (
                f"The workbook unpacks to more than {MAX_UNZIPPED // 2**20} MB. "
                "Save only the sheet that is wanted, as CSV, and split it by year if it is long."
            )
            raise Refused(Objection("too_large", "", message))


def _rows(sheet: ReadOnlyWorksheet, marks_of_sheet: Callable[[], _Marks]) -> Iterator[Row]:
    """Yield the rows that hold something; a merged range gives each of its cells the value shown."""
    try:
        marks = marks_of_sheet()
        sheet.reset_dimensions()
        waiting, spread = sorted(marks.merged, key=lambda bounds: bounds[1], reverse=True), {}
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            for number, values in enumerate(sheet.iter_rows(values_only=True), start=1):
                cells = _cells(number, values, marks)
                blank = all(is_blank(cell) for cell in cells)
                while waiting and waiting[-1][1] <= number:
                    bounds = waiting.pop()
                    anchor = bounds[0] - 1
                    spread[bounds] = cells[anchor] if anchor < len(cells) else None
                spread = {bounds: value for bounds, value in spread.items() if bounds[3] >= number}
                if not blank:
                    yield Row(number, _with_merged(cells, spread), number in marks.hidden)
    except BROKEN as error:
        raise _broken() from error


def _cells(number: int, values: tuple[Cell, ...], marks: _Marks) -> list[Cell]:
    cells = list(values)
    while cells and is_blank(cells[-1]) and (number, len(cells)) not in marks.unsaved:
        cells.pop()
    for at, cell in enumerate(cells):
        if cell is None and (formula := marks.unsaved.get((number, at + 1))) is not None:
            cells[at] = UnsavedFormula(formula)
    return cells


def _with_merged(cells: list[Cell], spread: dict[tuple[int, int, int, int], Cell]) -> tuple[Cell, ...]:
    for (first, _, last, _), value in spread.items():
        cells.extend([None] * (min(last, MAX_COLUMNS) - len(cells)))
        for at in range(first - 1, min(last, MAX_COLUMNS)):
            if is_blank(cells[at]):
                cells[at] = value
    return tuple(cells)


def _marks_of(sheet: ReadOnlyWorksheet) -> _Marks:
    with sheet._get_source() as source:
        return _marks_in(iterparse(source))


def _marks_in(elements: Iterable[tuple[str, Element]]) -> _Marks:
    marks, number = _Marks(), 0
    for _, element in elements:
        if element.tag == f"{_NS}row":
            number = int(element.get("r", number + 1))
            if element.get("hidden") in ("1", "true"):
                marks.hidden.add(number)
            marks.unsaved.update(_unsaved_formulas(number, element))
            element.clear()
        elif element.tag == f"{_NS}mergeCell":
            marks.merged.append(range_boundaries(element.get("ref")))
    return marks


def _unsaved_formulas(number: int, row: Element) -> Iterator[tuple[tuple[int, int], str]]:
    column = 0
    for cell in row:
        place = cell.get("r")
        column = column_index(coordinate_from_string(place)[0]) if place else column + 1
        formula = cell.find(f"{_NS}f")
        # A formula whose result is an empty text is stored with type "str"; that result is a blank, not a gap.
        if formula is not None and cell.get("t") != "str" and not cell.findtext(f"{_NS}v"):
            yield (number, column), formula.text or ""
