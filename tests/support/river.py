"""A small river, entered through operations: one stock, its founders and the young of one spawning."""

import copy
from collections.abc import Iterator
from datetime import date
from types import SimpleNamespace
from typing import Any

import time_machine
from django.core.cache import cache
from django.db import connection, transaction
from django.utils import timezone

from registry.journal.states import record_models
from registry.models import JournalEntry, Role
from registry.operations.catalogue import StockOpened, load_catalogue, open_stock
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import admit_fish
from registry.operations.people import installer
from registry.operations.places import UnitOpened, open_unit
from registry.operations.shared.entries import (
    Admission,
    BatchOpening,
    CrossMade,
    Day,
    FamilyShare,
    SireShare,
    SpawningNight,
    TagCode,
)
from registry.operations.young.batches import open_batch
from registry.permissions import Actor

STOCK, TANK, POND = "Lower Isendre", "Tank 1", "Pond 2"
CODES = {"F1": "756000000000011", "F2": "756000000000022", "M1": "756000000000033", "M2": "756000000000044"}

_kept: dict[date, tuple[list[tuple[str, list[Any]]], SimpleNamespace]] = {}


def small_river(by: Actor | None = None) -> SimpleNamespace:
    """Return the small river, entered into the register.

    Most tests begin with it, and entering takes longer than what most of them try. So an empty register gets the rows
    that were written the first time. Not on PostgreSQL, whose counters would not know of keys that they did not give.
    """
    travelling = time_machine.escape_hatch.is_travelling()
    if by or travelling or connection.vendor != "sqlite" or JournalEntry.objects.exists():
        return enter_river(by)
    today = timezone.localdate()
    if today not in _kept:
        river = enter_river()
        _kept[today] = (list(_rows()), copy.deepcopy(river))
        return river
    cache.clear()  # figures are kept under the journal's last hash, which is the same again
    tables, river = _kept[today]
    with transaction.atomic(), connection.cursor() as cursor:
        for insert, rows in tables:
            cursor.executemany(insert, rows)
    return copy.deepcopy(river)


def _rows() -> Iterator[tuple[str, list[Any]]]:
    """Yield a statement that writes the rows of a table, and the rows."""
    with connection.cursor() as cursor:
        for model in (JournalEntry, *record_models().values()):
            columns = [f'"{column.column}"' for column in model._meta.concrete_fields]
            # The plus keeps a value as it is stored: it is no column any more, with a type to be read as.
            cursor.execute(f"SELECT {', '.join(f'+{one}' for one in columns)} FROM {model._meta.db_table} ORDER BY 1")
            if rows := cursor.fetchall():
                places = ", ".join("%s" for _ in columns)
                yield f"INSERT INTO {model._meta.db_table} ({', '.join(columns)}) VALUES ({places})", rows


def enter_river(by: Actor | None = None) -> SimpleNamespace:
    """Enter a stock, two units, founders F1 F2 ♀ and M1 M2 ♂ with tags, a spawning F1 × M1, and its batch.

    F1 ─┬─ M1      F2   M2
      10-1 → batch B1 (1,000 fish)
    """
    setup = installer("test")
    by = by or Actor(None, "hall", frozenset({Role.STAFF, Role.MANAGER}), "test")
    load_catalogue(setup)
    open_stock(setup, StockOpened(name=STOCK, species="ruthenus", river="Isendre"))
    for unit, kind in ((TANK, "tank"), (POND, "pond")):
        open_unit(setup, UnitOpened(name=unit, kind=kind, facility="Brackenholt Weir Hatchery"))
    fish = [admit_fish(by, founder(number)) for number in CODES]
    night = CrossMade(dam="F1", sires=(SireShare(sire="M1"),), family="10-1")
    spawning = record_spawning(by, SpawningNight(spawned_on=date(2010, 5, 1), stock=STOCK, crosses=(night,)))
    opening = BatchOpening(
        number="B1", opened_on=date(2010, 5, 10), count=1000, families=(FamilyShare(family="10-1"),), unit=POND
    )
    batch = open_batch(by, opening)
    return SimpleNamespace(by=by, fish={one.number: one for one in fish}, spawning=spawning, batch=batch)


def founder(number: str) -> Admission:
    """Return the entry of a wild-caught fish; the first letter of its number says its sex."""
    code = CODES.get(number)
    return Admission(
        number=number,
        species="ruthenus",
        stock=STOCK,
        sex=number[0] if number[0] in "FM" else "U",
        origin="wild",
        caught=Day(date(2000, 4, 3)),
        unit=TANK,
        tag=TagCode("iso", code) if code else None,
        tagged_on=date(2000, 4, 5) if code else None,
    )
