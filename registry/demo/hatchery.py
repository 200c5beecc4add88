"""The demo's hatchery while it is being built: dice, desks and what is known, kept from one desk to the next."""

import json
import random
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from registry.operations.catalogue import FIXTURES
from registry.operations.shared.desk import Deed, Desk, open_desk, refuse_if_any
from registry.permissions import Actor
from registry.queries.known import Named, known
from registry.rules.known import Known
from registry.rules.tags import TagCode


def scenario() -> dict[str, Any]:
    """Return the invented hatchery that ships in fixtures."""
    told: dict[str, Any] = json.loads((FIXTURES / "demo.json").read_text(encoding="utf-8"))
    return told


@dataclass
class Brood:
    """A fish that may breed."""

    number: str
    stock: str
    sex: str
    born: date
    generation: int
    family: str = ""
    parents: frozenset[str] = frozenset()
    uses: int = 0
    code: TagCode | None = None


@dataclass
class Hatchery:
    """Everything that the seasons share."""

    people: dict[str, Actor]
    today: date
    seed: int
    told: dict[str, Any] = field(default_factory=scenario)
    brood: dict[str, Brood] = field(default_factory=dict)
    made: dict[tuple[type, str], Any] = field(default_factory=dict)
    counters: dict[str, int] = field(default_factory=dict)
    # Tagged young of each stock that go into the river next year.
    waiting: dict[str, list[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.dice = random.Random(self.seed)  # noqa: S311  (the demo is the same for the same seed)
        self.known: Known = known(Named(), self.today)

    @contextmanager
    def desk(self, role: str, permission: str) -> Iterator[Desk]:
        """Open a desk at which a person of that role enters several things."""
        with open_desk(self.people[role], permission, Named(), self.today) as opened:
            opened.known, opened.new = self.known, self.made
            yield opened

    def next(self, stem: str, places: int = 2) -> str:
        """Return the next number of a series such as UI94-01."""
        self.counters[stem] = self.counters.get(stem, 0) + 1
        return f"{stem}-{self.counters[stem]:0{places}}"

    def code(self, year: int) -> TagCode:
        """Return a new tag code; before 2000 the older hex codes."""
        if year < 2000:
            return TagCode("hex10", f"7F{self.dice.randrange(16**8):08X}")
        return TagCode("iso", f"900215{self.dice.randrange(10**9):09}")

    def day(self, year: int, month: int, spread: int = 25) -> date:
        """Return a day in that month, or after it."""
        return date(year, month, 1) + timedelta(days=self.dice.randrange(spread))


def enter(desk: Desk, deed: Deed[Any, Any], entry: Any) -> Any:
    """Judge and write an entry at an open desk, as the operation does."""
    refuse_if_any(deed.judge(entry, desk.known))
    return deed.write(desk, entry)
