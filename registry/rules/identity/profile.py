"""What is seen on a fish, and what each species is known to show: plain values that determination works on."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Span:
    """A range as printed: the usual within the widest; None where no source gives that end."""

    low: float | None = None
    usual_low: float | None = None
    usual_high: float | None = None
    high: float | None = None

    def beyond(self, value: float) -> float:
        """Return how far a value lies outside the widest range; 0 within it."""
        below = self.low - value if self.low is not None else 0.0
        above = value - self.high if self.high is not None else 0.0
        return max(below, above, 0.0)

    def usual(self, value: float) -> bool:
        """Return whether a value lies in the usual range; the widest is the usual one where no other is printed."""
        low = self.usual_low if self.usual_low is not None else self.low
        high = self.usual_high if self.usual_high is not None else self.high
        return (low is None or value >= low) and (high is None or value <= high)

    def __str__(self) -> str:
        """Return the range as people write it: 11–17, from 60, up to 60."""
        return printed(self.low, self.high)


def printed(low: float | None, high: float | None) -> str:
    """Return a range as people write it: 11–17, 9, from 60, up to 60; empty when neither end is known."""
    if low is None and high is None:
        return ""
    if low is None:
        return f"up to {high:g}"
    if high is None:
        return f"from {low:g}"
    return f"{low:g}" if low == high else f"{low:g}–{high:g}"


@dataclass(frozen=True)
class Profile:
    """What a species is known to show: ranges of numbers, shares of looks (they sum to 1), sizes, rivers.

    Only what may serve to tell species apart stands here; values that sources contradict each other on are left out.
    """

    key: str
    name: str
    common: str = ""
    spans: Mapping[str, Span] = field(default_factory=dict)
    looks: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    max_length_mm: float | None = None
    max_mass_g: float | None = None
    rivers: Mapping[str, str] = field(default_factory=dict)

    def knows(self, character: str) -> bool:
        """Return whether a source says what this species shows there."""
        return character in self.spans or character in self.looks


@dataclass(frozen=True)
class Seen:
    """The characters seen on one fish. `numbers` holds both sides where both were counted; what was not looked at is
    left out. `signs` are those of aquaculture."""

    numbers: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    looks: Mapping[str, str] = field(default_factory=dict)
    signs: tuple[str, ...] = ()
    length_mm: float | None = None
    mass_g: float | None = None
    river: str = ""

    def __contains__(self, character: str) -> bool:
        return bool(self.numbers.get(character)) or bool(self.looks.get(character))

    @property
    def characters(self) -> tuple[str, ...]:
        """Return what was looked at."""
        numbers = [key for key, values in self.numbers.items() if values]
        return (*numbers, *(key for key, look in self.looks.items() if look))
