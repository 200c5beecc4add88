"""Verification: the chain, the anchor, every row against the journal, books, files, and the database's own guards."""

import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, TypeVar

from django.db import connection, transaction

from registry.journal import books, chain, kept_files
from registry.journal.findings import Finding, Report
from registry.journal.guard import missing_guards
from registry.journal.rows import LastStates, compare_rows
from registry.models import JournalEntry

Item = TypeVar("Item")
Watch = Callable[[Iterable[Any], str], Iterable[Any]]
COLUMNS = (*chain.HASHED, "hash")


@dataclass(frozen=True, slots=True)
class Anchor:
    """Number and hash of an entry, written down earlier away from this machine."""

    seq: int
    hash: str


def read_anchor(text: str) -> Anchor:
    """Read SEQ:HASH. Raises ValueError with what is wrong."""
    seq, _, value = text.strip().partition(":")
    value = value.strip().lower()
    if not (seq.isascii() and seq.isdigit() and len(seq) < 19 and int(seq) > 0):
        raise ValueError(f"“{text}” is no anchor: it begins with an entry's number, as in 120:9f86d0…")
    if len(value) != 64 or set(value) - set("0123456789abcdef"):
        raise ValueError(f"“{text}” is no anchor: after the colon stand the 64 figures and letters a–f of the hash.")
    return Anchor(int(seq), value)


def unwatched(items: Iterable[Item], _what: str) -> Iterable[Item]:
    """Show no progress."""
    return items


def verify(anchor: Anchor | None = None, watch: Watch = unwatched) -> Report:
    """Check everything as of one moment, and return all that does not fit; nobody is kept from writing meanwhile.

    `watch(items, what)` passes the items through and may show how far it is.
    """
    report, states = Report(), LastStates()
    with one_moment():
        _check_chain(report, states, anchor, watch)
        compare_rows(states, report, watch)
        books.check_parentage(report)
        books.check_balances(report)
        books.check_never_below_zero(report)
        kept_files.check_files(report, watch)
        for name in missing_guards(connection):
            text = f"The database's guard {name} is missing: what it refuses was possible since. Have it put back."
            report.add(Finding("guard", text))
    return report


@contextmanager
def one_moment() -> Iterator[None]:
    """Read everything inside as it is now, whatever others write meanwhile."""
    if connection.in_atomic_block:
        yield
        return
    if connection.vendor == "sqlite":
        # Django's own transactions begin IMMEDIATE here and would make every writer wait.
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
            try:
                yield
            finally:
                cursor.execute("ROLLBACK")
        return
    with transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


def _check_chain(report: Report, states: LastStates, anchor: Anchor | None, watch: Watch) -> None:
    entries = JournalEntry.objects.order_by("seq").values_list(*COLUMNS).iterator(chunk_size=2000)
    for *hashed, written in watch(entries, "journal entries"):
        entry = dict(zip(chain.HASHED, hashed, strict=True))
        _check_entry(report, entry, hashed, written)
        _learn(report, states, entry)
        if anchor and anchor.seq == entry["seq"] and anchor.hash != written:
            text = f"Entry {anchor.seq} bears hash {written}, not that of the anchor: it or an earlier one was altered."
            report.add(Finding("anchor", text, seq=anchor.seq))
        report.entries += 1
        report.head_seq, report.head_hash = entry["seq"], written
    if anchor and anchor.seq > report.head_seq:
        text = f"The journal ends at entry {report.head_seq}, before the anchor's entry {anchor.seq}: entries are gone."
        report.add(Finding("anchor", text, seq=anchor.seq))


def _check_entry(report: Report, entry: dict[str, Any], hashed: list[Any], written: str) -> None:
    seq, before = entry["seq"], report.head_hash or chain.ZEROS
    if seq != report.head_seq + 1:
        missing = f"{report.head_seq + 1}" + (f" to {seq - 1}" if seq > report.head_seq + 2 else "")
        report.add(Finding("gap", f"Entry {missing} is missing from the journal.", seq=report.head_seq + 1))
    elif entry["prev"] != before:
        report.add(Finding("link", f"Entry {seq} does not follow entry {seq - 1}: it names another hash.", seq=seq))
    if chain.entry_hash(hashed) != written:
        report.add(Finding("hash", f"Entry {seq} is not what was written: its hash does not fit.", seq=seq))


def _learn(report: Report, states: LastStates, entry: dict[str, Any]) -> None:
    """Note the state of every row that the entry wrote."""
    try:
        for change in json.loads(entry["body"])["rows"]:
            states.put(change["kind"], change["id"], change["after"])
    except (ValueError, KeyError, TypeError, RecursionError) as fault:
        text = f"The body of entry {entry['seq']} cannot be read ({fault})."
        report.add(Finding("body", text, seq=entry["seq"]))
