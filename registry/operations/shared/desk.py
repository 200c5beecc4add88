"""Where operations work: the open door, what the register knows, and the rows that entries name.

Every operation has four parts that faces may also use one by one: what an entry names, what is in the way of it
(`judge`), what the register would know afterwards (`note`), and the writing itself.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Any, Generic, TypeVar

from registry.errors import Objection, Refused
from registry.journal.write import Door, Entry, door
from registry.models import Batch, Family, Fish, HoldingUnit, ImportedRow, Species, Stock
from registry.permissions import KEEP_PERMITS, Actor, may
from registry.queries.known import Named, known
from registry.rules.known import Known, fold

AnEntry = TypeVar("AnEntry")
Written = TypeVar("Written")


@dataclass(frozen=True, slots=True)
class SheetRow:
    """The sheet row that an entry comes from."""

    kind: str
    digest: str
    file_name: str
    row: int

    @property
    def source(self) -> str:
        """Return what the journal says of it."""
        return f"import: {self.file_name} row {self.row}"


class Desk:
    """One open door with what is known, for one entry or for many."""

    def __init__(self, opened: Door, facts: Known) -> None:
        self.door = opened
        self.known = facts
        self.new: dict[tuple[type, str], Any] = {}
        self.row: SheetRow | None = None

    def entry(self, what: str, subject: str, happened_at: datetime | date | None = None, reason: str = "") -> Entry:
        """Open a journal entry; if the entry comes from a sheet, note the row as taken in."""
        row = self.row
        made = self.door.open(what, subject, happened_at=happened_at, reason=reason, source=row.source if row else "")
        if row:
            made.add(ImportedRow(kind=row.kind, digest=row.digest, file_name=row.file_name[:200], row=row.row))
        return made

    def remember(self, record: Any) -> Any:
        """Keep a row made at this desk, so that later entries may name it."""
        self.new[(type(record), fold(record.number))] = record
        return record

    def fish(self, number: str | None) -> Fish | None:
        """Return the fish of that number, None for no number; the rules have made sure that there is one."""
        return self._named(Fish, number, self.known.fish)

    def family(self, number: str) -> Family | None:
        """Return the family of that number, None where it is yet to be opened."""
        held = (Family, fold(number)) in self.new or fold(number) in self.known.families
        return self._named(Family, number, self.known.families) if held else None

    def batch(self, number: str) -> Batch:
        """Return the batch of that number; the rules have made sure that there is one."""
        return self._named(Batch, number, self.known.batches)

    def _named(self, model: type, number: str | None, facts: dict[str, Any]) -> Any:
        if not number:
            return None
        made = self.new.get((model, fold(number)))
        if made is not None:
            return made
        fact = facts[fold(number)]
        return model(pk=fact.pk, number=fact.number)

    @cached_property
    def _species(self) -> dict[str, Species]:
        return {row.key: row for row in Species.objects.current()}

    @cached_property
    def stocks(self) -> dict[str, Stock]:
        """Return the stocks by name, those opened at this desk too."""
        return {row.name: row for row in Stock.objects.current()}

    @cached_property
    def units(self) -> dict[str, HoldingUnit]:
        """Return the holding units by name, those opened at this desk too."""
        return {row.name: row for row in HoldingUnit.objects.current()}

    def species(self, key: str) -> Species | None:
        """Return the species of that key."""
        return self._species.get(key)

    def stock(self, name: str) -> Stock | None:
        """Return the stock of that name."""
        return self.stocks.get(name)

    def unit(self, name: str) -> HoldingUnit | None:
        """Return the holding unit of that name."""
        return self.units.get(name)


@contextmanager
def open_desk(by: Actor, permission: str, named: Named, today: date | None = None) -> Iterator[Desk]:
    """Open a door and load what the entries name, under the same lock as the rows will be written."""
    with door(by, permission) as opened:
        facts = known(named, today)
        facts.may_overrule = may(by, KEEP_PERMITS)
        yield Desk(opened, facts)


@dataclass(frozen=True)
class Deed(Generic[AnEntry, Written]):
    """The four parts of an operation on one kind of entry."""

    permission: str
    named: Callable[[AnEntry], Named]
    judge: Callable[[AnEntry, Known], list[Objection]]
    note: Callable[[AnEntry, Known], None]
    write: Callable[[Desk, AnEntry], Written]

    def do(self, by: Actor, entry: AnEntry, *, confirmed: bool = True, today: date | None = None) -> Written:
        """Judge and write one entry. Raises Refused with all objections; unless `confirmed`, warnings refuse too."""
        with open_desk(by, self.permission, self.named(entry), today) as desk:
            refuse_if_any(self.judge(entry, desk.known), confirmed)
            return self.write(desk, entry)


def refuse_if_any(objections: Sequence[Objection], confirmed: bool = True) -> None:
    """Raise Refused with all objections if any stops the entry, or if any is a warning not yet confirmed."""
    if any(not o.warning for o in objections) or (objections and not confirmed):
        raise Refused(list(objections))


def next_number(model: type, stem: str, taken: dict[tuple[type, str], Any]) -> str:
    """Return the first free number `stem-1`, `stem-2` … among rows in the tables and rows made at this desk."""
    used = set(model.objects.filter(number__startswith=f"{stem}-").values_list("number", flat=True))
    n = 1
    while f"{stem}-{n}" in used or (model, fold(f"{stem}-{n}")) in taken:
        n += 1
    return f"{stem}-{n}"
