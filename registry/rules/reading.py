"""What came of reading one value that a person or a reader wrote."""

from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from registry.errors import Objection

T_co = TypeVar("T_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Reading(Generic[T_co]):
    """A value understood, or the reasons why it was not; warnings go with an understood value.

    `value` may be None without refusal: the cell was empty, or says that the thing is unknown.
    """

    value: T_co | None
    objections: tuple[Objection, ...] = ()

    @property
    def refused(self) -> bool:
        """Return whether any objection stops the value from being taken."""
        return any(not objection.warning for objection in self.objections)

    def on(self, field: str) -> "Reading[T_co]":
        """Return the same reading with its objections hung on a field."""
        return Reading(self.value, tuple(objection.on(field) for objection in self.objections))


def shown(value: object) -> str:
    """Return a value as it stands in a message: on one line, cut at 60 characters."""
    text = " ".join("".join(c if c.isprintable() else " " for c in str(value)).split())
    return text if len(text) <= 60 else text[:59] + "…"


def refusal(code: str, message: str, value: object = "") -> Reading[Any]:
    """Return a reading that is not taken, for one reason."""
    return Reading(None, (Objection(code, "", message, shown(value)),))


def warning(code: str, message: str, value: object = "") -> Objection:
    """Return an objection that is shown and stops nothing."""
    return Objection(code, "", message, shown(value), warning=True)


def whole(count: int) -> str:
    """Return a count in groups of three, held together by narrow spaces: 12 400."""
    return f"{count:,}".replace(",", "\N{NARROW NO-BREAK SPACE}")
