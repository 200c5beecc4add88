"""The sample sheets of tests/samples with their truth, and taking them in in the truth's own order."""

import json
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from registry.operations.catalogue import load_catalogue
from registry.operations.people import installer
from registry.sheets.columns import knows
from registry.sheets.commit import take_in
from registry.sheets.kinds.shared import REFUSED, Options, Verdict
from registry.sheets.preview import Preview, preview
from registry.sheets.read import read_sheet

FOLDER = Path(__file__).resolve().parents[1] / "samples"
KINDS = ("fish", "tags", "spawnings", "batches", "releases", "measurements")


@cache
def truth() -> dict[str, Any]:
    """Return truth.json."""
    return json.loads((FOLDER / "truth.json").read_text(encoding="utf-8"))


def truth_of(kind: str) -> dict[str, Any]:
    """Return what the truth says of the file of one kind."""
    return next(file for file in truth()["files"].values() if file["kind"] == kind)


def shown(kind: str, **more: Any) -> Preview:
    """Return the preview of the sample sheet of one kind."""
    of = truth_of(kind)
    options = Options(as_of=date.fromisoformat(truth()["as_of"]), open_new=True, **more)
    sheet = read_sheet(FOLDER / of["file"], of["file"], knows(kind), of["sheet"])
    return preview(sheet, kind, options)


def take_until(last: str) -> Preview:
    """Take in the good rows of the sheets up to the one of kind `last`; return its preview."""
    by = installer("import of the samples")
    load_catalogue(by)
    for kind in KINDS[: KINDS.index(last) + 1]:
        found = shown(kind)
        take_in(by, found, truth_of(kind)["file"], accept_valid=True)
    return found


def faults(found: Preview) -> Iterator[str]:
    """Yield where a preview does not say of a row what the truth says of it."""
    of = truth_of(found.kind)
    rows = {verdict.number: verdict for verdict in found.rows}
    if len(rows) != of["data_rows"]:
        yield f"{len(rows)} rows, not {of['data_rows']}"
    for line in of["clean"]:
        if rows[line["row"]].status == REFUSED:
            yield f"clean row {line['row']} is refused: {_said(rows[line['row']])}"
    for line in of["warn"]:
        yield from _faults_of_warned(rows[line["row"]], line)
    for line in of["refuse"]:
        yield from _faults_of_refused(found, rows[line["row"]], line)


def _faults_of_warned(verdict: Verdict, line: dict[str, Any]) -> Iterator[str]:
    if verdict.status == REFUSED:
        if not line["refusal_also_ok"]:
            yield f"row {verdict.number} is refused: {_said(verdict)}"
        return
    for wanted in line["warnings"]:
        if not any(o.code == wanted["warning"] and o.field == wanted["field"] for o in verdict.objections):
            yield f"row {verdict.number} is not warned of {wanted}: {_said(verdict)}"


def _faults_of_refused(found: Preview, verdict: Verdict, line: dict[str, Any]) -> Iterator[str]:
    if verdict.status != REFUSED:
        yield f"row {verdict.number} is not refused: {line}"
    stops = {(o.code, o.field, found.heading(o.field)) for o in verdict.objections if not o.warning}
    for problem in line["problems"]:
        codes = (problem["reason"], *problem["also_ok"])
        if not stops & {(code, problem["field"], problem["column"]) for code in codes}:
            yield f"row {verdict.number} lacks {problem}: {_said(verdict)}"


def _said(verdict: Verdict) -> str:
    return "; ".join(f"{o.code} at {o.field}" for o in verdict.objections)


def expected(found: Preview) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield row and values of every row of the truth that is in the register, exact repeats left out."""
    of = truth_of(found.kind)
    taken = {verdict.number for verdict in found.rows if verdict.status == "added"}
    for line in [*of["clean"], *of["warn"], *of["either"]]:
        if line["row"] in taken:
            yield line["row"], line["values"]
