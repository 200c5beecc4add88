"""What pages ask of the journal: its entries without their bodies, and one entry's rows in words."""

import json
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db import connection, models
from django.db.models import QuerySet
from django.utils.text import capfirst

from registry.journal.states import record_models
from registry.models import Account, JournalEntry
from registry.rules.days import spoken

MOST_ROWS = 120
NAMED_BY = ("number", "name", "scientific_name", "code", "key", "username")
HIDDEN = ("id", "entry_id")
SUBJECTS = (
    "fish",
    "batch",
    "family",
    "spawning",
    "release",
    "recapture",
    "tag",
    "plan",
    "permit",
    "document",
    "account",
)


@dataclass(frozen=True, slots=True)
class Value:
    """One column of a row: its heading, what it is for, the value before and after; `same` if it stayed as it was."""

    label: str
    help: str
    before: str
    after: str
    same: bool


@dataclass(slots=True)
class Row:
    """One row that an entry wrote or changed: `what` names it, `how` is added, changed or taken back.

    `replaced` says that the same entry wrote another row in place of one taken back; `after` is of that one then.
    """

    what: str
    how: str
    replaced: bool = False
    values: list[Value] = field(default_factory=list)
    page: tuple[str, str] = ("", "")


def listed() -> QuerySet[JournalEntry]:
    """Return entries as the list shows them: without their bodies, which are long."""
    return JournalEntry.objects.defer("body", "prev", "hash")


def values_of(column: str) -> list[str]:
    """Return each value of an indexed column of the journal once, by as many steps in the index as there are values."""
    table, name = JournalEntry._meta.db_table, JournalEntry._meta.get_field(column).column
    query = f"""
        WITH RECURSIVE found(value) AS (
            SELECT MIN({name}) FROM {table}
            UNION ALL
            SELECT (SELECT MIN({name}) FROM {table} WHERE {name} > found.value) FROM found WHERE found.value IS NOT NULL
        ) SELECT value FROM found WHERE value IS NOT NULL"""  # noqa: S608  (both names are the model's own)
    with connection.cursor() as cursor:
        cursor.execute(query)
        return [row[0] for row in cursor.fetchall()]


def about(rows: QuerySet[JournalEntry], text: str) -> QuerySet[JournalEntry]:
    """Return the entries about a record, by its number alone or with its kind before it; found by the index."""
    text = " ".join(text.split())
    spelt = {text, text.upper(), text.lower()}
    return rows.filter(subject__in={*spelt, *(f"{kind} {one}" for kind in SUBJECTS for one in spelt)})


def rows_of(entry: JournalEntry) -> tuple[list[Row], int]:
    """Return the first rows of an entry in words, and how many there are in all; references are read in bulk."""
    changes = json.loads(entry.body)["rows"]
    shown = [change for change in changes[:MOST_ROWS] if change["kind"] in record_models()]
    names = _names(shown)
    return [_row(change, names, _in_place_of(change, shown)) for change in shown], len(changes)


def _in_place_of(change: dict[str, Any], changes: list[dict[str, Any]]) -> dict[str, Any] | None:
    """Return the columns of the row that was written in place of one taken back: of its kind, the most like it."""
    if _how(change.get("before")) != "taken back":
        return None
    own = change["after"]
    added = [one["after"] for one in changes if one["kind"] == change["kind"] and "before" not in one]
    return max(added, key=lambda row: sum(row.get(name) == value for name, value in own.items()), default=None)


def _names(changes: list[dict[str, Any]]) -> dict[tuple[type[models.Model], int], str]:
    wanted: dict[type[models.Model], set[int]] = defaultdict(set)
    for change in changes:
        model = record_models()[change["kind"]]
        for part in (change.get("before", {}), change["after"]):
            for column in _references(model):
                if part.get(column.attname) is not None:
                    wanted[column.related_model].add(part[column.attname])
    return {(model, pk): name for model, pks in wanted.items() for pk, name in _named(model, pks)}


def _references(model: type[models.Model]) -> list[Any]:
    return [column for column in model._meta.concrete_fields if column.is_relation and column.attname not in HIDDEN]


def _named(model: type[models.Model], pks: set[int]) -> list[tuple[int, str]]:
    if model is JournalEntry:
        return [(pk, f"entry {pk}") for pk in pks]
    if model is Account:
        return [(row.pk, str(row)) for row in Account.objects.filter(pk__in=pks).select_related("batch", "family")]
    columns = {column.name for column in model._meta.concrete_fields}
    name = next((one for one in NAMED_BY if one in columns), "")
    if not name:
        return [(pk, f"{model._meta.verbose_name} {pk}") for pk in pks]
    return list(model._default_manager.filter(pk__in=pks).values_list("pk", name))


def _row(change: dict[str, Any], names: dict[tuple[type[models.Model], int], str], later: dict[str, Any] | None) -> Row:
    model, after, before = record_models()[change["kind"]], change["after"], change.get("before")
    row = Row(
        _title(model, after, names, change["id"]), _how(before), later is not None, page=_page(model, after, names)
    )
    if later is not None:
        changed = {name: value for name, value in after.items() if later.get(name) != value}
        before, after = (
            changed | before,
            after | {name: later.get(name) for name in changed} | {"withdrawn_id": after["withdrawn_id"]},
        )
    for column in model._meta.concrete_fields:
        name = column.attname
        if name in HIDDEN or (name not in after and name not in (before or {})):
            continue
        same = before is not None and name not in before
        held = (after if same or before is None else before).get(name), after.get(name)
        told = [_told(column, value, names) for value in held]
        row.values.append(Value(capfirst(str(column.verbose_name)), str(column.help_text), *told, same))
    return row


def _how(before: dict[str, Any] | None) -> str:
    if before is None:
        return "added"
    return "taken back" if "withdrawn_id" in before else "changed"


def _title(model: Any, after: dict[str, Any], names: dict[Any, str], key: int) -> str:
    kind = capfirst(str(model._meta.verbose_name))
    own = next((str(after[name]) for name in NAMED_BY if name in after), "")
    if own:
        return f"{kind} {own}"
    owners = [column for column in _references(model) if column.name != "withdrawn"]
    owner = next((column for column in owners if after.get(column.attname) is not None), None)
    if owner is None:
        return f"{kind}, row {key}"
    called = "" if owner.related_model is Account else f"{owner.verbose_name} "
    return f"{kind} of {called}{_name(owner, after[owner.attname], names)}, row {key}"


def _page(model: Any, after: dict[str, Any], names: dict[Any, str]) -> tuple[str, str]:
    """Return kind and number of the record whose page shows this row."""
    if "number" in after:
        return model._meta.model_name, after["number"]
    for column in _references(model):
        if column.name in SUBJECTS and after.get(column.attname) is not None:
            return column.name, _name(column, after[column.attname], names)
    return "", ""


def _name(column: Any, key: int, names: dict[Any, str]) -> str:
    return names.get((column.related_model, key), f"row {key}, no longer there")


def _told(column: Any, value: Any, names: dict[Any, str]) -> str:
    """Return a value as a person reads it; an empty one as an en dash."""
    if value is None or value == "":
        return "–"
    if column.is_relation:
        return _name(column, value, names)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if column.choices:
        return str(dict(column.flatchoices).get(value, value))
    if type(column) is models.DateField:
        return spoken(date.fromisoformat(value))
    return str(value)


def neighbours(seq: int) -> tuple[int | None, int | None]:
    """Return the numbers of the entries before and after, None at either end."""
    near = JournalEntry.objects.filter(seq__in=(seq - 1, seq + 1)).values_list("seq", flat=True)
    found = set(near)
    return (seq - 1 if seq - 1 in found else None), (seq + 1 if seq + 1 in found else None)
