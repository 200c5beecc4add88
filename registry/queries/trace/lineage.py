"""What a trace consists of: records, steps between them with probability and evidence, and who wrote what."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from enum import IntEnum

from registry.models import JournalEntry


class Level(IntEnum):
    """How well a step is borne out, the weakest first."""

    ASSERTED = 0
    SUPPORTED = 1
    PROVED = 2
    GENOTYPE = 3

    @property
    def word(self) -> str:
        """Return the level as a certificate says it."""
        return ("asserted", "supported", "proved", "proved by genotype")[self]


@dataclass(frozen=True, slots=True)
class Written:
    """A journal entry, as far as a trace tells of it."""

    seq: int
    what: str
    who: str
    happened_at: datetime
    entered_at: datetime
    reason: str = ""


@dataclass(slots=True)
class Node:
    """One record: a fish, family, batch (as it was on a day) or release; `about` is one sentence."""

    key: str
    kind: str
    number: str
    about: str = ""
    founder: bool = False
    written: Written | None = None
    corrections: list[Written] = field(default_factory=list)
    tags: list[str] = field(default_factory=list)
    on: date | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """`source` comes from `origin` with this probability (or, of many fish, in this share), on this evidence."""

    source: str
    origin: str
    probability: Decimal
    role: str
    evidence: str
    level: Level
    written: Written | None = None


@dataclass(slots=True)
class Lineage:
    """Everything between a record and the founders it may descend from."""

    start: str
    nodes: dict[str, Node] = field(default_factory=dict)
    steps: list[Step] = field(default_factory=list)

    @property
    def level(self) -> Level | None:
        """Return the level of the weakest step; None when there is no step."""
        return min((step.level for step in self.steps), default=None)

    @property
    def founders(self) -> list[Node]:
        """Return the founders, by number."""
        return sorted((node for node in self.nodes.values() if node.founder), key=lambda node: node.number)


def written(entry: JournalEntry | None) -> Written | None:
    """Return what a trace tells of a journal entry."""
    if entry is None:
        return None
    return Written(entry.seq, entry.what, entry.who, entry.happened_at, entry.entered_at, entry.reason)


def corrections(entries: Iterable[JournalEntry]) -> list[Written]:
    """Return the entries that say a reason, oldest first, each once: what was put right, and why."""
    by_seq = {entry.seq: entry for entry in entries if entry.reason}
    return [found for seq in sorted(by_seq) if (found := written(by_seq[seq]))]


def key_of(kind: str, number: str, day: date | None = None) -> str:
    """Return the key of a record in a lineage; a batch has one for each day it is looked at."""
    return f"{kind} {number}" + (f" on {day.isoformat()}" if day else "")


@dataclass(frozen=True, slots=True)
class Line:
    """One step as a line of a list: how far from the start, and whether its origin was unfolded further up."""

    depth: int
    step: Step
    again: bool


def unfolded(lineage: Lineage) -> list[Line]:
    """Return the steps in the order of reading, each record's own steps below it, once."""
    steps: dict[str, list[Step]] = {}
    for step in lineage.steps:
        steps.setdefault(step.source, []).append(step)
    found: list[Line] = []
    met = {lineage.start}
    waiting = [(1, step) for step in reversed(steps.get(lineage.start, []))]
    while waiting:
        depth, step = waiting.pop()
        below = steps.get(step.origin, [])
        found.append(Line(depth, step, step.origin in met and bool(below)))
        if step.origin not in met:
            met.add(step.origin)
            waiting += [(depth + 1, one) for one in reversed(below)]
    return found


def chance(probability: Decimal) -> str:
    """Return a probability or share for people: four figures, none of them a trailing nought; 1, 0.5, 0.006122."""
    return f"{float(probability):.4g}"
