"""Rows taken back and written again: for another fish, corrected, or for rows that were themselves written again.

Works on every kind of record by its foreign keys, so that a kind added later needs nothing here. What a kind does
when the same thing is then said twice stands in TWINS; any other such case is refused by the database's constraints.
"""

from collections.abc import Callable, Mapping
from typing import Any

from django.db.models import ForeignKey, Q

from registry.journal.states import record_models
from registry.journal.write import Entry
from registry.models import (
    CrossNotMade,
    CrossSire,
    DocumentSubject,
    Fish,
    FishDetails,
    FounderPair,
    HeldApart,
    ParentPair,
    Photo,
    PlanFish,
    PlannedCross,
    PlanPair,
    Record,
    Rewritten,
    SameFish,
    SetAside,
)
from registry.models.papers.documents import ABOUT
from registry.operations.shared.desk import Desk

# What says which numbers are one, and the two sets of details, are not written again by the general way.
APART: tuple[type[Record], ...] = (Fish, FishDetails, HeldApart, Rewritten, SameFish)
# Columns in which two rows say the same thing, and the share that adds up, if any. One row is written for both, as the
# row that stood says it, so that both can be written again when the numbers are parted. Ends that are open make no
# difference; once they are filled, two rows are two.
TWINS: dict[type[Record], tuple[tuple[str, ...], str]] = {
    ParentPair: (("parentage_id", "dam_id", "sire_id"), "probability"),
    CrossSire: (("cross_id", "sire_id"), "share"),
    PlannedCross: (("plan_id", "dam_id", "sire_id"), ""),
    CrossNotMade: (("planned_id",), ""),
    PlanFish: (("plan_id", "fish_id"), ""),
    PlanPair: (("plan_id", "dam_id", "sire_id"), ""),
    DocumentSubject: (("document_id", *(f"{name}_id" for name in ABOUT)), ""),
    FounderPair: (("founders_id", "one_id", "other_id"), ""),
    Photo: (("fish_id", "original"), ""),
    SetAside: (("fish_id", "system", "code"), ""),
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
    """One run under one entry. `later` holds what stands for each row taken back, None for nothing.

    Joined numbers note which row became which, so that they can be parted again; a correction does not (`noted`):
    like every corrected row, what it wrote stays where it is.
    """

    def __init__(self, desk: Desk, made: Entry, *, noted: bool = True) -> None:
        self.desk, self.made, self.noted = desk, made, noted
        self.todo: dict[tuple[type[Record], int], tuple[Record, Changes]] = {}
        self.later: dict[tuple[type[Record], int], Record | None] = {}
        self.asked: set[tuple[type[Record], int]] = set()
        self.first: set[tuple[type[Record], int]] = set()
        self.said: dict[tuple[Any, ...], Record] = {}

    def want(self, record: Record, changes: Changes) -> None:
        """Take a row back and write it again with changes."""
        self.todo[type(record), record.pk] = (record, changes)

    def run(self, odd: Callable[[Record, Record], bool] = lambda _was, _row: False) -> None:
        """Write all that is wanted, every row that hangs on it, and what would be said twice; the `odd` fall out."""
        while self._want_hanging() or self._want_twins():
            pass
        kinds = list(record_models().values())
        keys = sorted(self.todo, key=lambda key: (kinds.index(key[0]), key not in self.first))
        ordered = [self.todo[key] for key in keys]
        for record, _ in ordered:
            self.made.withdraw(record)
        for record, changes in ordered:
            row = None if changes is None else self.again(record, changes)
            self.later[type(record), record.pk] = None if row is None or odd(record, row) else self._said_once(row)
        self.desk.door.write_rows()
        for (model, pk), row in self.later.items():
            if self.noted and (model, pk) in self.todo:
                self.note(model, pk, row)

    def standing_for(self, record: Record) -> Record:
        """Return what stands for a row that was written again; the row itself where it was not."""
        return self.later.get((type(record), record.pk)) or record

    def note(self, model: type[Record], pk: int, row: Record | None) -> None:
        """Keep which row stands for which."""
        kind = model._meta.model_name or ""
        self.made.add(Rewritten(kind=kind, earlier=pk, later=row.pk if row else None))

    def _want_hanging(self) -> bool:
        """Add the rows that refer to rows written again, and those that refer to these; return if any."""
        new, any_found = [key for key in (*self.todo, *self.later) if key not in self.asked], False
        while new:
            self.asked.update(new)
            found = []
            for model in record_models().values():
                for column in links(model):
                    keys = [pk for kind, pk in new if kind is column.related_model]
                    if keys and model not in APART:
                        found += model.objects.current().filter(**{f"{column.name}__in": keys}).order_by("pk")
            found = [row for row in found if (type(row), row.pk) not in self.todo]
            for row in found:
                self.want(row, {})
            any_found = any_found or bool(found)
            new = [(type(row), row.pk) for row in found]
        return any_found

    def _want_twins(self) -> bool:
        """Add the rows that stand and say already what a row written again will say; return whether there are any.

        Rows on a row that is itself written again are all there: they hang on it.
        """
        found = []
        for record, changes in self.todo.values():
            names, _ = TWINS.get(type(record), ((), ""))
            if names and changes and _open(record):
                values = columns_of(record) | dict(changes)
                rows = type(record).objects.current().filter(**_exactly({name: values[name] for name in names}))
                found += [row for row in rows if _open(row) and (type(row), row.pk) not in self.todo]
        for row in found:
            self.want(row, {})
            self.first.add((type(row), row.pk))
        return bool(found)

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

    def _said_once(self, row: Record) -> Record:
        """Hand the row over; if an earlier one says the same, that stands for it and the shares add up."""
        names, share = TWINS.get(type(row), ((), ""))
        if not names or not _open(row):
            return self.made.add(row)
        said = (type(row), *(_referred(row, name) for name in names))
        twin = self.said.setdefault(said, row)
        if twin is row:
            return self.made.add(row)
        if share:
            setattr(twin, share, getattr(twin, share) + getattr(row, share))
        return twin


def _open(row: Record) -> bool:
    return all(getattr(row, name) in (None, "") for name in row.OPEN_ENDS)


def _referred(row: Record, name: str) -> Any:
    """Return a column's value; for a reference to a row that has no key yet, that row's identity."""
    value = getattr(row, name)
    return id(getattr(row, name.removesuffix("_id"))) if value is None and name.endswith("_id") else value


def columns_of(record: Record) -> dict[str, Any]:
    """Return a row's own columns, without key and journal entries."""
    own = (column for column in record._meta.concrete_fields if column.name not in ("id", "entry", "withdrawn"))
    return {column.attname: getattr(record, column.attname) for column in own}


def _exactly(values: dict[str, Any]) -> dict[str, Any]:
    return {f"{name}__isnull" if value is None else name: value is None or value for name, value in values.items()}
