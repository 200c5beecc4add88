"""What stands in the register, by content and not by key, so that what a change and its undo leave can be compared."""

from typing import Any

from django.db.models import Model

from registry.journal.states import record_models
from registry.models import Fish, Record, Rewritten, SameFish

JOURNAL = ("id", "entry", "withdrawn")


def standing() -> dict[str, list[str]]:
    """Return every row that no entry took back, by kind; references are told by what they refer to."""
    kinds = [m for m in record_models().values() if m not in (SameFish, Rewritten)]
    return {m.__name__: sorted(repr(content(row)) for row in m.objects.filter(withdrawn=None)) for m in kinds}


def content(row: Model) -> tuple[Any, ...]:
    """Return a row's columns, references followed down to what has a number or name of its own."""
    found: list[Any] = []
    for column in row._meta.concrete_fields:
        value = getattr(row, column.name)
        if column.name in JOURNAL:
            continue
        if isinstance(value, Fish):
            found.append(value.number)
        else:
            found.append(content(value) if isinstance(value, Record) else value)
    return (type(row).__name__, *found)
