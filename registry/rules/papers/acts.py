"""What is done under a permit, and what a permit allows: plain values that use and limits are counted with."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

ACTS = ("capture", "holding", "transfer", "release", "trade")
# What is counted: fish with young and eggs (""), doses of milt, tubes of samples. Only fish are caught, held, released.
SPECIMENS = ("", "milt", "sample")


@dataclass(frozen=True, slots=True)
class Act:
    """So many fish of one species and stock, on a day. `page` and `number` name the record that says so.

    `species` is a catalogue key, "" where it is not known; `stock` a name, "" where there is none. `abroad`: what was
    sent went across a border.
    """

    kind: str
    day: date
    species: str
    stock: str
    count: int
    page: str = ""
    number: str = ""
    place: str = ""
    specimen: str = ""
    abroad: bool = False


@dataclass(frozen=True, slots=True)
class Allowance:
    """One line of a permit: an act, of one species and stock or of any (""), for `most` fish or without a number."""

    act: str
    species: str = ""
    stock: str = ""
    most: int | None = None
    specimen: str = ""

    def covers(self, act: Act) -> bool:
        """Return whether an act falls under this line; what is sent across a border is a transfer out, too."""
        done = self.act == act.kind or (self.act == "trade" and act.kind == "transfer" and act.abroad)
        fits = done and self.specimen == act.specimen and self.species in ("", act.species)
        return fits and self.stock in ("", act.stock)


@dataclass(slots=True)
class KnownPermit:
    """A permit, and every act under it so far; `held` is what the hatchery holds today of what it may hold."""

    number: str
    valid_from: date
    valid_until: date | None = None
    allowances: tuple[Allowance, ...] = ()
    places: tuple[str, ...] = ()
    acts: list[Act] = field(default_factory=list)
    held: tuple[Act, ...] = ()

    def holds_on(self, day: date) -> bool:
        """Return whether the permit is in force on a day; its last day still counts."""
        return self.valid_from <= day and (self.valid_until is None or day <= self.valid_until)

    def covers(self, act: Act) -> bool:
        """Return whether any line allows an act of this kind, species and stock at all."""
        return any(line.covers(act) for line in self.allowances)

    def used(self, line: Allowance) -> int:
        """Return how many fish count against a line."""
        return used_of(line, self.held if line.act == "holding" else self.acts)

    def excess(self) -> list[tuple[Allowance, int]]:
        """Return the lines that are over their number, each with how many fish too many."""
        over = [(line, self.used(line) - line.most) for line in self.allowances if line.most is not None]
        return [(line, more) for line, more in over if more > 0]

    def astray(self) -> list[Act]:
        """Return the acts that no line covers or that lie outside its days."""
        return [act for act in self.acts if not self.covers(act) or not self.holds_on(act.day)]


def used_of(line: Allowance, acts: Iterable[Act]) -> int:
    """Return how many fish of some acts count against a line."""
    return sum(act.count for act in acts if line.covers(act))
