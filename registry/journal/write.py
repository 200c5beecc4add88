"""The one door to the tables: opens the transaction, hands out entries, writes rows and the chained entry together.

Rows are written when the door closes (many at once), so an entry of a thousand fish costs a handful of statements.
"""

import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time
from typing import Any, TypeVar

from django.db import DataError, IntegrityError, connection, models, transaction
from django.utils import timezone

from registry.errors import Objection, Refused
from registry.journal import chain
from registry.journal.states import columns, plain, record_models, state
from registry.models import Account, JournalEntry, Record, WrittenPastTheJournal
from registry.permissions import Actor, require

AnyRecord = TypeVar("AnyRecord", bound=Record)

# SQLite's own wait is unfair; one lock per process keeps every writer's wait short.
_one_writer = threading.RLock()
_ADVISORY_KEY = 7_215_004


class Entry:
    """One open journal entry: what operations write through."""

    def __init__(self, door: "Door", seq: int, head: dict[str, Any]) -> None:
        self.door = door
        self.seq = seq
        self.head = head
        self.changes: list[dict[str, Any]] = []

    def add(self, record: AnyRecord) -> AnyRecord:
        """Hand over a new row; it is written when the door closes, and has its key from then on."""
        record.entry_id = self.seq
        self.door.pending.setdefault(type(record), []).append((self, record))
        return record

    def end(self, record: Record, **values: Any) -> None:
        """Fill open ends of an existing row: each named column must be one that may end, and still be empty."""
        for name in values:
            if name not in record.OPEN_ENDS:
                raise WrittenPastTheJournal(f"{type(record).__name__}.{name} is not an open end.")
        self._fill(record, values)

    def withdraw(self, record: Record) -> None:
        """Take a row back; it stays readable, marked with this entry."""
        self._fill(record, {"withdrawn_id": self.seq})

    def move(self, account: Account, fish: int) -> None:
        """Add to an account's kept balance; the transfer rows say why."""
        self.door.moved.append((account, fish))

    def collect(self, record: Record) -> None:
        """Note a row that was just written in the body."""
        self.changes.append({"kind": record._meta.model_name, "id": record.pk, "after": state(record)})

    def _fill(self, record: Record, values: dict[str, Any]) -> None:
        if record.pk is None:
            self.door.write_rows()
        before = {name: getattr(record, name) for name in values}
        if any(value not in (None, "") for value in before.values()):
            raise WrittenPastTheJournal(f"{record} has already ended: {before}.")
        rows = models.QuerySet(type(record)).filter(pk=record.pk, **dict(before.items()))
        if rows.update(**values) != 1:
            raise WrittenPastTheJournal(f"{record} was changed meanwhile.")
        for name, value in values.items():
            setattr(record, name, value)
        fields = {field.attname: field for field in columns(type(record))}
        self.changes.append(
            {
                "kind": record._meta.model_name,
                "id": record.pk,
                "before": {name: plain(fields[name], value) for name, value in before.items()},
                "after": state(record),
            }
        )

    def body(self) -> str:
        """Return the canonical JSON of all changes,"""
        return chain.canonical({"rows": self.changes})


class Door:
    """All entries of one transaction."""

    def __init__(self, by: Actor) -> None:
        last = JournalEntry.objects.order_by("-seq").values_list("seq", "hash").first()
        self.by = by
        self.first, self.prev = (last[0] + 1, last[1]) if last else (1, chain.ZEROS)
        self.entries: list[Entry] = []
        self.pending: dict[type[Record], list[tuple[Entry, Record]]] = {}
        self.moved: list[tuple[Account, int]] = []

    def open(
        self,
        what: str,
        subject: str,
        *,
        happened_at: datetime | date | None = None,
        reason: str = "",
        corrects: JournalEntry | None = None,
        source: str = "",
    ) -> Entry:
        """Open the next entry."""
        now = timezone.now()
        head = {
            "happened_at": _instant(happened_at) if happened_at else now,
            "entered_at": now,
            "who": self.by.name,
            "user_id": self.by.user_id,
            "what": what,
            "subject": subject[:80],
            "source": (source or self.by.source)[:200],
            "reason": reason,
            "corrects_id": corrects.seq if corrects else None,
        }
        entry = Entry(self, self.first + len(self.entries), head)
        self.entries.append(entry)
        return entry

    def write_rows(self) -> None:
        """Write the rows handed over so far, parents before children."""
        pending, self.pending = self.pending, {}
        for model in record_models().values():
            rows = pending.get(model, [])
            if not rows:
                continue
            made = [record for _, record in rows]
            for record in made:
                _take_keys(record)
            models.QuerySet(model).bulk_create(made, batch_size=_batch_size(model))
            for entry, record in rows:
                entry.collect(record)
        moved, self.moved = self.moved, []
        changes: dict[int, int] = {}
        for account, fish in moved:
            changes[account.pk] = changes.get(account.pk, 0) + fish
        for pk, fish in changes.items():
            models.QuerySet(Account).filter(pk=pk).update(balance=models.F("balance") + fish)

    def close(self) -> None:
        """Write what is left, then the chained entries."""
        self.write_rows()
        made = []
        for entry in self.entries:
            values = {"seq": entry.seq, **entry.head, "body": entry.body(), "prev": self.prev}
            self.prev = chain.entry_hash([values[name] for name in chain.HASHED])
            made.append(JournalEntry(**values, hash=self.prev))
        JournalEntry.objects.bulk_create(made, batch_size=500)


@contextmanager
def door(by: Actor, permission: str) -> Iterator[Door]:
    """Open a transaction in which `by` writes one or many entries; nothing is written if anything is refused."""
    require(by, permission)
    with _one_writer:
        try:
            with transaction.atomic():
                if connection.vendor == "postgresql":
                    with connection.cursor() as cursor:
                        cursor.execute("SELECT pg_advisory_xact_lock(%s)", [_ADVISORY_KEY])
                opened = Door(by)
                yield opened
                opened.close()
        except IntegrityError as error:
            raise Refused(_in_words(error)) from error
        except DataError as error:
            raise Refused(Objection("bad_value", "", _TOO_LARGE)) from error


@contextmanager
def entry(by: Actor, what: str, *, permission: str, subject: str, **more: Any) -> Iterator[Entry]:
    """Open a door for a single entry. Takes `happened_at`, `reason`, `corrects` as `Door.open` does."""
    with door(by, permission) as opened:
        yield opened.open(what, subject, **more)


def _take_keys(record: Record) -> None:
    """Copy keys of related rows that were themselves new when this row was made."""
    for field in record._meta.concrete_fields:
        if field.is_relation and field.is_cached(record):
            related = getattr(record, field.name)
            if related is not None and getattr(record, field.attname) is None:
                setattr(record, field.attname, related.pk)


def _batch_size(model: type[Record]) -> int:
    # SQLite takes at most 32,766 values in a statement.
    return max(1, 30_000 // len(model._meta.concrete_fields))


def _instant(value: datetime | date) -> datetime:
    """Return an instant; a bare day stands for its noon, so that no time zone moves it to another day."""
    if isinstance(value, datetime):
        return value if timezone.is_aware(value) else timezone.make_aware(value)
    return timezone.make_aware(datetime.combine(value, time(12)))


def _in_words(error: IntegrityError) -> Objection:
    """Turn what the database refused into a sentence; the rules normally say it earlier."""
    # SQLite names the column (registry_fish.number), PostgreSQL the constraint (registry_fish_number_…_uniq).
    text = str(error).replace(".", "_")
    for name, sentence in _SENTENCES.items():
        if name in text:
            return Objection(name, "", sentence)
    named = re.search(r'constraint (?:failed: )?"?(\w+)', str(error))
    rule = f" ({named[1]})" if named else ""
    return Objection(
        "conflict", "", f"The register already holds something that contradicts this{rule}. Reload and look."
    )


_TOO_LARGE = "A number is larger, or a text longer, than the register can hold. Check what was typed."
_USED = "This number is already used in the register. Numbers are never used twice: take another."
_ACTIVE = "This code is active on another fish. End that tag first, or check the last digits."
_ASIDE = "This code is set aside for this fish already. Open the fish and look."
_PROVED = "This number was proved to be another fish already. Reload and look."
_SENTENCES = {
    "tag_periods_apart": "This code was on another fish during that time. Look the code up before you enter it.",
    "tag_active_on_one_fish": _ACTIVE,
    "registry_tag_system": _ACTIVE,
    "milt_lot_number_once": _USED,
    "recapture_number_once": _USED,
    **dict.fromkeys(("code_set_aside_once", "registry_setaside_fish"), _ASIDE),
    **dict.fromkeys(("number_proved_one_fish_only", "registry_samefish_other"), _PROVED),
    "permit_number_once": _USED,
    "no_batch_below_zero": "The batch does not hold that many fish. Count it, or check the number.",
    **{
        f"registry_{kind}_number": _USED
        for kind in ("fish", "batch", "family", "release", "recapture", "spawning", "crossplan", "miltlot")
    },
}
