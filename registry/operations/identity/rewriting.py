"""Rows taken back and written again: for another fish, or for rows that were themselves written again.

Works on every kind of record by its foreign keys, so that a kind added later needs nothing here. What a kind does
when the same thing is then said twice stands in TWINS; any other such case is refused by the database's constraints.
"""

from collections.abc import Callable, Mapping
from typing import Any

from django.db.models import ForeignKey, Q

from registry.journal.states import record_models
from registry.journal.write import Entry
from registry.models import (
    CrossSire,
    DocumentSubject,
    Fish,
    FishDetails,
    HeldApart,
    ParentPair,
    PlanFish,
    PlannedCross,
    PlanPair,
    Record,
    Rewritten,
    SameFish,
)
from registry.operations.shared.desk import Desk

# What says which numbers are one, and the two sets of details, are not written again by the general way.
APART: tuple[type[Record], ...] = (Fish, FishDetails, HeldApart, Rewritten, SameFish)
# Columns in which two rows say the same thing, and the share that adds up. None: one row is written for both, as the
# row that stands says it; "": the row that stands is enough.
TWINS: dict[type[Record], tuple[tuple[str, ...], str | None]] = {
    ParentPair: (("parentage_id", "dam_id", "sire_id"), "probability"),
    CrossSire: (("cross_id", "sire_id"), "share"),
    PlannedCross: (("plan_id", "dam_id", "sire_id"), ""),
    PlanFish: (("plan_id", "fish_id"), ""),
    PlanPair: (("plan_id", "dam_id", "sire_id"), ""),
    DocumentSubject: (("document_id", "fish_id"), None),
}
# New values by column; None: the row is taken back and nothing stands for it.
Changes = Mapping[str, Any] | None


def links(model: type[Record]) -> list[ForeignKey]:
    """Return a kind's references to other records, the two to journal entries apart."""
    return [
        column
        for column in model._meta.concrete_fields
        if isinstance(column, ForeignKey)
        and column.name not in ("entry", "withdrawn")
        and issubclass(column.related_model, Record)
    ]


def rows_of_fish(fish: int) -> list[Record]:
    """Return every row that stands and names the fish, of every kind that is written again."""
    found: list[Record] = []
    for model in record_models().values():
        named = [column.name for column in links(model) if column.related_model is Fish]
        if named and model not in APART:
            wanted = Q()
            for name in named:
                wanted |= Q(**{name: fish})
            found += model.objects.current().filter(wanted).order_by("pk")
    return found


class Rewriting:
    """One run under one entry. `later` holds what stands for each row taken back, None for nothing."""

    def __init__(self, desk: Desk, made: Entry) -> None:
        self.desk, self.made = desk, made
        self.todo: dict[tuple[type[Record], int], tuple[Record, Changes]] = {}
        self.later: dict[tuple[type[Record], int], Record | None] = {}

    def want(self, record: Record, changes: Changes) -> None:
        """Take a row back and write it again with changes."""
        self.todo[type(record), record.pk] = (record, changes)

    def run(self, odd: Callable[[Record], bool] = lambda _row: False) -> None:
        """Write all that is wanted and every row that hangs on it; a row that would be `odd` falls out."""
        self._want_hanging()
        ordered = [one for model in record_models().values() for one in self.todo.values() if type(one[0]) is model]
        for record, _ in ordered:
            self.made.withdraw(record)
        for record, changes in ordered:
            row = None if changes is None else self.again(record, changes)
            self.later[type(record), record.pk] = None if row is None or odd(row) else self._standing(row)
        self.desk.door.write_rows()
        for (model, pk), row in self.later.items():
            if (model, pk) in self.todo:
                self.note(model, pk, row)

    def note(self, model: type[Record], pk: int, row: Record | None) -> None:
        """Keep which row stands for which."""
        kind = model._meta.model_name or ""
        self.made.add(Rewritten(kind=kind, earlier=pk, later=row.pk if row else None))

    def _want_hanging(self) -> None:
        """Add the rows that refer to rows written again, and those that refer to these."""
        new = list(self.todo) + list(self.later)
        while new:
            found = []
            for model in record_models().values():
                for column in links(model):
                    keys = [pk for kind, pk in new if kind is column.related_model]
                    if keys and model not in APART:
                        found += model.objects.current().filter(**{f"{column.name}__in": keys})
            found = [row for row in found if (type(row), row.pk) not in self.todo]
            for row in found:
                self.want(row, {})
            new = [(type(row), row.pk) for row in found]

    def again(self, record: Record, changes: Mapping[str, Any]) -> Record:
        """Return the row as it is written again, on the rows that stand now; it is not handed over yet."""
        values = columns_of(record) | dict(changes)
        row = type(record)(**values)
        for column in links(type(record)):
            key = (column.related_model, values[column.attname])
            if key in self.later:
                # The related row may have no key yet: the door gives it one before this row is written.
                setattr(row, column.attname, None)
                setattr(row, column.name, self.later[key])
        return row

    def _standing(self, row: Record) -> Record:
        """Hand the row over; where the same is said already, let the share add up, or the other row stand for it."""
        names, share = TWINS.get(type(row), ((), ""))
        values = {name: getattr(row, name) for name in names}
        told = type(row).objects.current().filter(**_exactly(values)) if names and _has_keys(row) else None
        twin = told.first() if told is not None else None
        if twin is None or share == "":
            return twin or self.made.add(row)
        self.made.withdraw(twin)
        if share is None:
            row = type(row)(**columns_of(twin))
        else:
            setattr(row, share, getattr(row, share) + getattr(twin, share))
        self.made.add(row)
        self.todo[type(twin), twin.pk] = (twin, {})
        self.later[type(twin), twin.pk] = row
        return row


def columns_of(record: Record) -> dict[str, Any]:
    """Return a row's own columns, without key and journal entries."""
    own = (column for column in record._meta.concrete_fields if column.name not in ("id", "entry", "withdrawn"))
    return {column.attname: getattr(record, column.attname) for column in own}


def _exactly(values: dict[str, Any]) -> dict[str, Any]:
    return {f"{name}__isnull" if value is None else name: value is None or value for name, value in values.items()}


def _has_keys(row: Record) -> bool:
    """Return whether the row refers only to rows that are written: a row on a new one has no twin."""
    return all(
        not column.is_cached(row) or (getattr(row, column.name) is None or getattr(row, column.name).pk is not None)
        for column in links(type(row))
    )
