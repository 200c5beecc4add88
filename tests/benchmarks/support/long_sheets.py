"""Invented long sheets of every kind, and what it takes to read, preview and write them."""

import csv
import io
import random
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from registry.operations.catalogue import load_catalogue
from registry.operations.people import installer
from registry.sheets.columns import knows
from registry.sheets.commit import take_in
from registry.sheets.kinds.shared import REFUSED, Options
from registry.sheets.preview import preview
from registry.sheets.read import read_sheet

Table = list[list[object]]
AS_OF = date(2025, 11, 30)
GENERATIONS = 5


@dataclass(frozen=True)
class Measured:
    """Seconds by the clock, and (`own`) of this program alone."""

    kind: str
    rows: int
    plain: float
    preview: float
    preview_own: float
    write: float
    write_own: float


def measured(rows: int) -> Iterator[Measured]:
    """Preview and take in a sheet of each kind, in the order in which a hatchery does."""
    load_catalogue(installer("benchmark"))
    for kind, table in sheets(rows):
        text = io.StringIO()
        csv.writer(text).writerows(table)
        yield _measure(kind, text.getvalue())


def _measure(kind: str, text: str) -> Measured:
    data = text.encode()
    plain = min(timed(lambda: list(csv.reader(io.StringIO(text))))[2] for _ in range(3))

    def seen() -> Any:
        return preview(read_sheet(data, f"{kind}.csv", knows(kind)), kind, Options(AS_OF, open_new=True))

    found, clock, own = timed(seen)
    assert not found.of(REFUSED), found.of(REFUSED)[0].objections
    _, write_clock, write_own = timed(lambda: take_in(installer("benchmark"), found, f"{kind}.csv"))
    return Measured(kind, len(found.rows), plain, clock, own, write_clock, write_own)


def timed(work: Callable[[], Any]) -> tuple[Any, float, float]:
    """Return what the work gives, its seconds by the clock, and its own."""
    clock, own = time.perf_counter(), time.process_time()
    done = work()
    return done, time.perf_counter() - clock, time.process_time() - own


def sheets(rows: int) -> Iterator[tuple[str, Table]]:
    """Yield a sheet of each kind: five generations of fish, their tags, crosses of the last, batches, releases."""
    yield "fish", list(fish_rows(rows))
    yield "tags", [["Fish", "Code", "Put in"], *([number(fish), code(fish), "2023-05-01"] for fish in range(rows))]
    yield "spawnings", [["Date", "Female", "Male", "Egg weight (g)", "Family"], *map(crosses(rows), range(rows))]
    yield "batches", list(batch_rows(rows // 4))
    yield "releases", [["Date", "Place", "Lat", "Lon", "Batch", "Number", "Permit"], *map(released(rows), range(rows))]
    yield "measurements", [["Tag", "Date", "TL (cm)", "Weight (g)", "Sex/stage"], *map(in_hand, range(rows))]


def code(fish: int) -> str:
    return f"900215{fish * 7919 % 10**9:09d}"


def number(fish: int) -> str:
    return f"{'MF'[fish % 2]}{fish}"


def fish_rows(rows: int) -> Iterator[list[object]]:
    chance, each = random.Random(1), rows // GENERATIONS
    yield ["Fish", "Species", "Stock", "PIT", "Sex", "Origin", "Caught", "Hatched", "Dam", "Sire", "Notes"]
    for fish in range(rows):
        generation, sex, day = fish // each, "MF"[fish % 2], 1 + fish % 28
        year = 1994 + 7 * generation
        known = [number(fish), "Acipenser ruthenus", "Upper Isendre", code(fish), sex]
        if generation == 0:
            yield [*known, "wild", f"{year}-05-{day:02d}", "", "?", "unknown", "scar left flank"]
        else:
            first = (generation - 1) * each // 2 * 2
            dam, sire = (first + 2 * chance.randrange(each // 2) + odd for odd in (1, 0))
            yield [*known, "own", "", f"{day}.5.{year}", number(dam), number(sire), "slow feeder"]


def crosses(rows: int) -> Callable[[int], list[object]]:
    each = rows // GENERATIONS
    return lambda n: [f"2024-04-{1 + n % 28:02d}", number(n * 2 % each | 1), number(n * 2 % each), 200, f"24-{n}"]


def batch_rows(batches: int) -> Iterator[list[object]]:
    yield ["Batch", "Date", "What", "From", "Unit", "Count"]
    for n in range(batches):
        yield [f"B{n}", "2024-05-10", "start", f"24-{n}", f"Trough {n % 20}", 5000]
        yield [f"B{n}", "2024-05-20", "loss", "", "", 100 + n % 50]
        yield [f"B{n}", "2024-06-20", "count", "", "", 4500]
        yield [f"B{n}s", "2024-06-25", "split from", f"B{n}", f"Tank {n % 20}", 1000]


def released(rows: int) -> Callable[[int], list[object]]:
    return lambda n: [f"2024-07-{1 + n % 28:02d}", "Alder Ford", 47.2, -31.4, f"B{n % (rows // 4)}", 10 + n // 28, "P1"]


def in_hand(fish: int) -> list[object]:
    return [code(fish), f"2024-03-{1 + fish % 28:02d}", 50 + fish % 30, 900 + fish % 90, f"{'MF'[fish % 2]} II"]
