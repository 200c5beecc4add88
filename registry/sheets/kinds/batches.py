"""A sheet of what happened to batches: each row opens, counts, splits, merges, moves or takes from one."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from registry.operations.shared.desk import Deed
from registry.operations.young.batches import CENSUS, MERGE, MOVE, OPENING, SPLIT, TAKING
from registry.queries.known import Named
from registry.rules.crossing.spawning import equal_shares
from registry.rules.known import fold
from registry.rules.young.batches import BatchOpening, Census, FamilyShare, Merge, Split, Taking
from registry.rules.young.units import BatchMove
from registry.sheets.dates import read_day
from registry.sheets.kinds.shared import Book, Draft, Kind, RowReader, Verdict, spelt, waiting
from registry.sheets.numbers import read_count
from registry.sheets.values import read_id, read_ids, read_key, read_note, read_text
from registry.sheets.words import read_batch_event

_MOVED = {"opened_on": "date", "moved_on": "date", "number": "batch", "counted": "count", "families": "from"}
_NEW = _MOVED | {"batch": "from", "new_number": "batch"}
_INTO = _MOVED | {"batch": "from", "into": "batch"}


@dataclass(frozen=True, slots=True)
class _Line:
    """A row as read."""

    batch: str
    day: date
    event: str
    sources: tuple[str, ...]
    unit: str
    stage: str
    count: int | None
    method: str
    notes: str


def _gather(row: RowReader, named: Named) -> None:
    sources = spelt(read_ids(row.cell("from")).value or ())
    named.families |= sources
    named.batches |= sources | spelt([read_id(row.cell("batch")).value])


def _read(row: RowReader, book: Book) -> Draft | None:
    batch = row.take("batch", read_key(row.cell("batch"), book.batches))
    day = row.take("date", read_day(row.cell("date"), book.options.as_of, book.options.date_order))
    if row.blank("date"):
        row.refuse("bad_date", "date", "The day is missing. Enter on which day it happened.")
    event = row.take("event", read_batch_event(row.cell("event")))
    if row.blank("event"):
        row.refuse("bad_code", "event", "What happened is missing. Write start, loss, count, split, merge or move.")
    sources = row.take("from", read_ids(row.cell("from"), book.families if event == "open" else book.batches))
    unit = row.take("unit", read_text(row.cell("unit")))
    stage = row.take("stage", read_text(row.cell("stage")))
    count = row.take("count", read_count(row.cell("count"), required=event != "move"))
    notes = row.take("notes", read_note(row.cell("notes")))
    if event in ("split", "merge") and len(sources or ()) != 1:
        row.refuse("unknown_batch", "from", f"Name the one batch that this {event} is from.")
    if row.refused:
        return None
    estimated = any(objection.code == "approximate" for objection in row.objections)
    unit = next((own for own in book.known.units if own.casefold() == (unit or "").casefold()), unit or "")
    method = "estimate" if estimated else ""
    deed, build, fields = _DEEDS[event]
    line = _Line(batch, day.first, event, sources, unit, stage or "", count, method, notes or "")
    return Draft(deed, build(line), fields)


def _opening(line: _Line) -> BatchOpening:
    shares = zip(line.sources, equal_shares(line.sources), strict=True)
    return BatchOpening(
        number=line.batch,
        opened_on=line.day,
        count=line.count or 0,
        families=tuple(FamilyShare(family=family, share=share) for family, share in shares),
        unit=line.unit,
        stage=line.stage,
        method=line.method,
        notes=line.notes,
    )


def _taking(line: _Line) -> Taking:
    return Taking(
        batch=line.batch,
        moved_on=line.day,
        count=line.count or 0,
        event=line.event,
        stage=line.stage,
        notes=line.notes,
    )


def _census(line: _Line) -> Census:
    return Census(
        batch=line.batch,
        moved_on=line.day,
        counted=line.count or 0,
        method=line.method,
        stage=line.stage,
        notes=line.notes,
    )


def _split(line: _Line) -> Split:
    return Split(
        batch=line.sources[0],
        new_number=line.batch,
        moved_on=line.day,
        count=line.count or 0,
        unit=line.unit,
        stage=line.stage,
        notes=line.notes,
    )


def _merge(line: _Line) -> Merge:
    return Merge(
        batch=line.sources[0],
        into=line.batch,
        moved_on=line.day,
        count=line.count or 0,
        unit=line.unit,
        stage=line.stage,
        notes=line.notes,
    )


def _move(line: _Line) -> BatchMove:
    return BatchMove(batch=line.batch, moved_on=line.day, unit=line.unit, notes=line.notes)


_DEEDS: dict[str, tuple[Deed, Callable[[_Line], Any], Mapping[str, str]]] = {
    "open": (OPENING, _opening, _MOVED),
    "loss": (TAKING, _taking, _MOVED),
    "sample": (TAKING, _taking, _MOVED),
    "census": (CENSUS, _census, _MOVED),
    "split": (SPLIT, _split, _NEW),
    "merge": (MERGE, _merge, _INTO),
    "move": (MOVE, _move, _MOVED),
}


def _order(verdicts: list[Verdict], _book: Book) -> list[Verdict]:
    """Judge events in order of day; what opens a batch goes before what else happened that day, and to that batch."""
    rows = waiting(verdicts)
    opened = {fold(verdict.founds): _day(verdict) for verdict in reversed(rows) if verdict.founds}

    def place(verdict: Verdict) -> tuple[date, bool, int]:
        batches = {fold(getattr(verdict.entry, name, "")) for name in ("batch", "into")}
        days = [_day(verdict), *(opened[batch] for batch in batches if batch in opened)]
        return max(days), not verdict.founds, verdict.number

    return sorted(rows, key=place)


def _day(verdict: Verdict) -> date:
    entry = verdict.entry
    day: date = entry.opened_on if isinstance(entry, BatchOpening) else entry.moved_on
    return day


def _founds(row: RowReader) -> str:
    return row.values.get("batch") or "" if row.values.get("event") in ("open", "split") else ""


BATCHES = Kind("batches", "batch", _gather, _read, _founds, _order)
