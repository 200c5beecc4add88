"""What a correction says, and the row as it would then stand."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import PositiveIntegerField

from registry.errors import Objection, Refused
from registry.journal.write import Entry
from registry.models import Record
from registry.operations.shared.desk import Desk
from registry.queries.known import Named
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What is wrong in a row, what it should be, and why. `record` is the row as it stands."""

    record: Record
    changes: dict[str, Any] = field(default_factory=dict)
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Correctable:
    """How rows of one kind are corrected: which columns, what is asked, and what else is written with the row."""

    columns: tuple[str, ...]
    named: Callable[[Any], Named]
    judge: Callable[[Correction, Any, Known], list[Objection]]
    # Where a later row alone is not enough. It gets the row as it stood and as it should stand.
    write: Callable[[Desk, Entry, Any, Any], Record] | None = None


def objections_to_correction(entry: Correction, columns: tuple[str, ...]) -> list[Objection]:
    """Return what is wrong with the correction itself, whatever the row is."""
    found = objections_to_texts(entry)
    if entry.record.withdrawn_id:
        found.append(Objection("withdrawn", "", "This was corrected already. Correct the later entry instead."))
    if not entry.reason.strip():
        found.append(
            Objection("no_reason", "reason", "Say why: the reason stands in the journal beside the correction.")
        )
    odd = [name for name in entry.changes if name not in columns]
    found += [Objection("not_correctable", name, f"{name} of this kind of entry cannot be corrected.") for name in odd]
    if all(getattr(entry.record, name) == value for name, value in entry.changes.items()):
        found.append(Objection("nothing_changed", "", "Nothing is different from what stands. Change a figure first."))
    return found


def changed(record: Record, changes: dict[str, Any]) -> Any:
    """Return the row as it should stand. Raises Refused where a value does not fit its column."""
    columns = {
        f.attname: getattr(record, f.attname)
        for f in record._meta.concrete_fields
        if f.name not in ("id", "entry", "withdrawn")
    }
    row = type(record)(**{**columns, **changes})
    told = {name for name, value in changes.items() if value not in (None, "")}
    # How many is the rules' business, in their words.
    untold = [f.name for f in row._meta.concrete_fields if f.attname not in told or isinstance(f, PositiveIntegerField)]
    try:
        row.clean_fields(exclude=untold)
    except ValidationError as error:
        raise Refused([Objection("bad_value", f, " ".join(m)) for f, m in error.message_dict.items()]) from error
    return row
