"""verify_journal: whether chain, records, parentage, balances and guards fit together; exit 1 when they do not."""

import json
import sys
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from tqdm import tqdm

from registry.journal.findings import Report
from registry.journal.guard import NO_REGISTER, has_register
from registry.journal.verify import Anchor, read_anchor, unwatched, verify

SHOWN = 40


class Command(BaseCommand):
    """Checks the journal and everything that it says of the records."""

    help = (
        "Checks the journal's chain, that every record agrees with it, that parentage sums to 1, that kept balances "
        "equal their ledgers, that every kept file is what its hash says and that the database's guards stand. "
        "Exit 0: all fits; 1: something does not."
    )
    requires_system_checks: list[str] = []  # a missing guard is to be reported, not to stop the report

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--anchor", type=_anchor, metavar="SEQ:HASH", help="compare with an anchor printed earlier")
        parser.add_argument("--json", action="store_true", help="write the whole result as JSON")

    def handle(self, *_: Any, **options: Any) -> None:
        if not has_register(connection):
            raise CommandError(NO_REGISTER, returncode=1)
        report = verify(options["anchor"], _bar if sys.stderr.isatty() else unwatched)
        if options["json"]:
            self.stdout.write(json.dumps(as_json(report), ensure_ascii=False, indent=2))
        else:
            self.stdout.write("\n".join(in_words(report)))
        if not report.sound:
            sys.exit(1)


def as_json(report: Report) -> dict[str, Any]:
    """Return the result as plain values."""
    return {
        "sound": report.sound,
        "entries": report.entries,
        "rows": report.rows,
        "anchor": report.anchor,
        "first_broken": report.first_broken,
        "counts": dict(report.counts),
        "findings": [asdict(finding) for finding in report.findings],
    }


def in_words(report: Report) -> list[str]:
    """Return the result as lines for a person."""
    lines = [f"{report.entries:,} journal entries and {report.rows:,} rows were checked."]
    if report.sound:
        lines.append("Everything fits: chain, records, parentage, balances, files, guards.")
    else:
        first = f" The first broken entry is {report.first_broken}." if report.first_broken else ""
        lines.append(f"{sum(report.counts.values()):,} things do not fit.{first}")
        lines += [f"  {finding.kind}: {finding.message}" for finding in report.findings[:SHOWN]]
        more = sum(report.counts.values()) - min(SHOWN, len(report.findings))
        if more:
            lines.append(f"  and {more:,} more: --json lists the first of every kind.")
        lines.append("Keep this machine as it is, and compare with a backup made before.")
    if report.anchor:
        lines.append(f"Anchor, to write down away from this machine: {report.anchor}")
    return lines


def _anchor(text: str) -> Anchor:
    try:
        return read_anchor(text)
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from fault


def _bar(items: Iterable[Any], what: str) -> Iterable[Any]:
    return tqdm(items, desc=what, unit="", leave=False, mininterval=0.3, file=sys.stderr)
