"""Whether every row in the tables is what the journal last said of it. Memory: 16 bytes a row, in pages."""

from collections.abc import Iterable, Iterator
from typing import Any

from registry.journal.findings import Finding, Report
from registry.journal.states import columns, digest, record_models, row_state
from registry.models import Record

SIZE, PAGE = 16, 4096
NOTHING = bytes(SIZE)
Key = tuple[str, int]


class LastStates:
    """The digest of the last state that the journal gives of each row."""

    def __init__(self) -> None:
        self._pages: dict[Key, bytearray] = {}

    def put(self, kind: str, key: int, state: dict[str, Any]) -> None:
        """Remember the state after the latest change."""
        page, place = divmod(key, PAGE)
        held = self._pages.setdefault((kind, page), bytearray(SIZE * PAGE))
        held[SIZE * place : SIZE * (place + 1)] = digest(state)

    def take(self, kind: str, key: int) -> bytes:
        """Return the digest of a row and forget it; zeros for a row that the journal never wrote."""
        page, place = divmod(key, PAGE)
        held = self._pages.get((kind, page))
        if held is None:
            return NOTHING
        ends = slice(SIZE * place, SIZE * (place + 1))
        found = bytes(held[ends])
        held[ends] = NOTHING
        return found

    def left(self) -> Iterator[Key]:
        """Yield the rows that were never taken."""
        for (kind, page), held in sorted(self._pages.items()):
            if held.count(0) == len(held):
                continue
            for place in range(PAGE):
                if held[SIZE * place : SIZE * (place + 1)] != NOTHING:
                    yield kind, page * PAGE + place


def compare_rows(states: LastStates, report: Report, watch: Any) -> None:
    """Report rows that differ from the journal, rows it does not know, and rows that are gone."""
    for kind, model in record_models().items():
        for key, row in watch(_rows(model), f"rows of {model._meta.verbose_name}"):
            report.rows += 1
            said = states.take(kind, key)
            if said == digest(row_state(model, row)):
                continue
            report.add(_unknown(model, key) if said == NOTHING else _changed(model, key))
    for kind, key in states.left():
        report.add(_missing(kind, key))


def _rows(model: type[Record]) -> Iterable[tuple[int, tuple[Any, ...]]]:
    names = [field.attname for field in columns(model)]
    at = names.index(model._meta.pk.attname)
    for row in model.objects.order_by("pk").values_list(*names).iterator(chunk_size=5000):
        yield row[at], row


def _unknown(model: type[Record], key: int) -> Finding:
    table = model._meta.db_table
    text = f"Row {key} of {table} is in the table and in no journal entry: it was written past the register."
    return Finding("unknown row", text, table=table, record=key)


def _changed(model: type[Record], key: int) -> Finding:
    table = model._meta.db_table
    text = f"Row {key} of {table} differs from what the journal last says of it: it was changed past the register."
    return Finding("changed row", text, table=table, record=key)


def _missing(kind: str, key: int) -> Finding:
    model = record_models().get(kind)
    table = model._meta.db_table if model else kind
    text = f"Row {key} of {table} is in the journal and no longer in the table: it was deleted past the register."
    return Finding("missing row", text, table=table, record=key)
