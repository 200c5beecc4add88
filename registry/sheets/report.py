"""What came of a sheet, for programs and for whoever mends the refused rows."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any

from registry.errors import Objection
from registry.rules.reading import shown
from registry.sheets.cells import Cell, UnsavedFormula, is_blank
from registry.sheets.kinds.shared import ADDED, REFUSED, UNCHANGED, Verdict
from registry.sheets.preview import Preview

WHY_HEADING = "Why refused"


def report_of(found: Preview, taken: bool) -> dict[str, Any]:
    """Return the report. `taken`: whether its good rows are (or, in a dry run, would be) in the register."""
    good = len(found.of(ADDED)) + len(found.of(UNCHANGED))
    refused = [
        _line(found, verdict, objection)
        for verdict in found.of(REFUSED)
        for objection in verdict.objections
        if not objection.warning
    ]
    warnings = [_whole(objection) for objection in found.remarks]
    warnings += [
        _line(found, verdict, objection)
        for verdict in found.rows
        if verdict.status != REFUSED
        for objection in verdict.objections
    ]
    return {"rows": len(found.rows), "accepted": good if taken else 0, "refused": refused, "warnings": warnings}


def report_of_refused_file(objections: Sequence[Objection]) -> dict[str, Any]:
    """Return the report of a file that was refused as a whole; its reasons belong to no row."""
    return {"rows": 0, "accepted": 0, "refused": [_whole(objection) for objection in objections], "warnings": []}


def _whole(objection: Objection) -> dict[str, Any]:
    return {
        "row": None,
        "column": objection.value if objection.code.endswith("_heading") else "",
        "field": objection.field,
        "value": objection.value,
        "code": objection.code,
        "message": objection.message,
    }


def _line(found: Preview, verdict: Verdict, objection: Objection) -> dict[str, Any]:
    cell = found.cell(verdict, objection.field)
    return {
        "row": verdict.number,
        "column": found.heading(objection.field),
        "field": objection.field,
        "value": objection.value or ("" if is_blank(cell) else shown(cell)),
        "code": objection.code,
        "message": objection.message,
    }


def rows_to_mend(found: Preview) -> tuple[list[str], Iterator[list[Any]]]:
    """Return headings and rows of a file that holds the refused rows with the reasons in a last column."""
    rows = found.of(REFUSED)
    width = max([len(found.columns), *(len(verdict.row.cells) for verdict in rows)])
    headings = [column.text for column in found.columns]
    headings += [""] * (width - len(headings))
    return [*headings, WHY_HEADING], (_row_to_mend(verdict, width) for verdict in rows)


def _row_to_mend(verdict: Verdict, width: int) -> list[Any]:
    why = " ".join(objection.message for objection in verdict.objections if not objection.warning)
    cells = [_as_was(cell) for cell in verdict.row.cells]
    return [*cells, *[None] * (width - len(cells)), f"Row {verdict.number}: {why}"]


def _as_was(cell: Cell) -> Any:
    if isinstance(cell, datetime):
        return cell.date()
    return f"={cell.text}" if isinstance(cell, UnsavedFormula) else cell
