"""import_sheet: takes a hatchery's own CSV or XLSX into the register, or says row by row why not."""

import csv
import json
import sys
from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone
from tqdm import tqdm

from registry.errors import Refused
from registry.exports.tables import xlsx_file
from registry.models import Species
from registry.operations.catalogue import load_catalogue
from registry.operations.people import installer
from registry.permissions import Actor
from registry.rules.tags.raw import PROFILES
from registry.sheets.columns import KINDS, knows
from registry.sheets.commit import Taken, take_in
from registry.sheets.kinds.shared import ADDED, REFUSED, UNCHANGED, Options
from registry.sheets.preview import Preview, preview
from registry.sheets.read import read_sheet
from registry.sheets.report import report_of, report_of_refused_file, rows_to_mend

SHOWN = 40
RAW_ORDERS = {one.key.replace(" ", "-"): one.key for one in PROFILES}


class Command(BaseCommand):
    """Exit 0: taken in (or, with --dry-run, could be); 1: refused, with the reasons; 2: wrong use."""

    help = (
        "Takes a sheet (CSV or XLSX) into the register. All or nothing, unless --accept-valid. A row that was taken in "
        "before, or repeats another, changes nothing. Stocks and holding units that it names first are opened."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("kind", choices=KINDS, metavar="KIND", help=f"what its rows are: {', '.join(KINDS)}")
        parser.add_argument("file", type=_file, metavar="FILE", help="the CSV or XLSX file")
        parser.add_argument("--sheet", metavar="NAME", help="the sheet of a workbook (default: the one that fits)")
        parser.add_argument(
            "--columns",
            type=_columns,
            default={},
            metavar="FILE",
            help="own headings to fields: a CSV with two columns, heading and field (empty to leave it out), or JSON",
        )
        parser.add_argument("--date-order", choices=("dmy", "mdy"), help="how 03/05/2019 is meant; else refused")
        parser.add_argument("--decimal", choices=("point", "comma"), help="how 1,250 is meant in weights and lengths")
        parser.add_argument(
            "--raw",
            choices=RAW_ORDERS,
            help="how the reader that wrote the tags' raw bits hands them out; without it raw bits are refused",
        )
        parser.add_argument("--as-of", type=_day, metavar="DATE", help="later days are refused (default: today)")
        parser.add_argument("--dry-run", action="store_true", help="only say what would become of every row")
        parser.add_argument(
            "--accept-valid",
            action="store_true",
            help="take the good rows and write the refused ones to a file to mend",
        )
        parser.add_argument("--report", type=_writable, metavar="FILE", help="write the whole report as JSON")
        parser.add_argument("--json", action="store_true", help="print the whole report as JSON")

    def handle(self, *_: Any, **given: Any) -> None:
        options = Namespace(**given)
        _bring_up_to_date()
        by = installer(f"import: {options.file.name}")
        try:
            shown, taken = _import(by, options)
        except Refused as refused:
            self._finish(options, report_of_refused_file(refused.objections), [o.message for o in refused.objections])
            sys.exit(1)
        report = report_of(shown, taken is not None or options.dry_run)
        mend = _write_to_mend(shown, options) if taken and shown.of(REFUSED) else None
        self._finish(options, report, _in_words(shown, taken, report, mend))
        if report["refused"] and not (options.accept_valid and report["accepted"]):
            sys.exit(1)

    def _finish(self, options: Namespace, report: dict[str, Any], words: Iterable[str]) -> None:
        text = json.dumps(report, ensure_ascii=False, indent=1)
        if options.report:
            options.report.write_text(text + "\n", encoding="utf-8")
        self.stdout.write(text if options.json else "\n".join(words))


def _import(by: Actor, options: Namespace) -> tuple[Preview, Taken | None]:
    """Return the preview, and what was taken in: None if nothing was to be written or could be."""
    watch = _bar if sys.stderr.isatty() and not options.json else _unwatched
    how = Options(
        options.as_of or timezone.localdate(),
        options.date_order,
        options.decimal,
        open_new=True,
        raw=RAW_ORDERS.get(options.raw, ""),
    )
    sheet = read_sheet(options.file, options.file.name, knows(options.kind, options.columns), options.sheet)
    with _catalogue(by, options.dry_run):
        shown = preview(sheet, options.kind, how, options.columns, watch)
    if options.dry_run or (shown.of(REFUSED) and not options.accept_valid):
        return shown, None
    return shown, take_in(by, shown, options.file.name, accept_valid=options.accept_valid, watch=watch)


@contextmanager
def _catalogue(by: Actor, dry_run: bool) -> Iterator[None]:
    """Load the catalogue of a new register; a dry run takes it back."""
    if Species.objects.exists():
        yield
        return
    with transaction.atomic():
        load_catalogue(by)
        yield
        transaction.set_rollback(dry_run)


def _bring_up_to_date() -> None:
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        call_command("prepare", verbosity=0)


def _write_to_mend(shown: Preview, options: Namespace) -> Path:
    """Write the refused rows, with the reasons, into the folder of exports; never over an earlier file."""
    folder = settings.DATA / "exports"
    folder.mkdir(parents=True, exist_ok=True)
    stem, number = f"{options.file.stem[:80]}-{shown.kind}-to-mend", 1
    while (path := folder / f"{stem}-{number}.xlsx").exists():
        number += 1
    with xlsx_file(f"{shown.kind} to mend", *rows_to_mend(shown)) as file:
        path.write_bytes(file.read())
    return path


def _in_words(shown: Preview, taken: Taken | None, report: dict[str, Any], mend: Path | None) -> list[str]:
    """Return the result as lines for a person."""
    counts = f"{len(shown.of(ADDED))} new, {len(shown.of(UNCHANGED))} unchanged, {len(shown.of(REFUSED))} refused"
    lines = [f"{len(shown.rows)} rows of {shown.kind} in {shown.sheet}: {counts}."]
    lines += _listed("Refused:", report["refused"])
    lines += _listed("Look at:", report["warnings"])
    if taken is None:
        nothing = "Nothing was written."
        if shown.of(REFUSED):
            nothing += " Mend the refused rows, or take the good ones with --accept-valid."
        return [*lines, nothing]
    if taken.rows:
        lines.append(f"Taken in: {taken.rows} rows, journal entries {taken.first} to {taken.last}.")
    else:
        lines.append("Nothing new: the register stays as it is.")
    return [*lines, *([f"The refused rows, with the reasons: {mend}"] if mend else [])]


def _listed(title: str, found: Sequence[dict[str, Any]]) -> list[str]:
    if not found:
        return []
    lines = [title, *(f"  {_place(one)}{one['message']}" for one in found[:SHOWN])]
    return [*lines, f"  and {len(found) - SHOWN} more; --report FILE lists all."] if len(found) > SHOWN else lines


def _place(one: dict[str, Any]) -> str:
    if one["row"] is None:
        return ""
    return f"row {one['row']}, {one['column']}: " if one["column"] else f"row {one['row']}: "


def _file(text: str) -> Path:
    path = Path(text)
    if not path.is_file():
        raise ArgumentTypeError(f"there is no file {text}")
    return path


def _writable(text: str) -> Path:
    """Return where the report goes; found out before anything is written to the register."""
    path = Path(text)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.open("a").close()
    except OSError as fault:
        raise ArgumentTypeError(f"{text} cannot be written ({fault.strerror})") from fault
    return path


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as fault:
        raise ArgumentTypeError(f"{text!r} is not a day; write it like 2025-11-30") from fault


def _columns(text: str) -> dict[str, str]:
    """Return a person's own headings and what they stand for."""
    content = _file(text).read_text(encoding="utf-8-sig")
    try:
        if content.lstrip().startswith("{"):
            return {str(heading): str(field or "") for heading, field in json.loads(content).items()}
        delimiter = ";" if content.partition("\n")[0].count(";") else ","
        return {heading: field.strip() for heading, field in csv.reader(content.splitlines(), delimiter=delimiter)}
    except ValueError as fault:
        message = f"{text} must have two columns in each row, heading and field, or be a JSON object"
        raise ArgumentTypeError(message) from fault


def _unwatched(rows: Sequence[Any], _what: str) -> Iterable[Any]:
    return rows


def _bar(rows: Sequence[Any], what: str) -> Iterable[Any]:
    return tqdm(rows, desc=what, unit="row", leave=False, delay=1, file=sys.stderr)
