"""What can go wrong, by name. The lowest floor: no Django here."""

from collections.abc import Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Objection:
    """One reason why an entry is not taken as it stands, in words for the person who made it.

    `code` is a stable name (tests and import reports use it), `field` the entry's field it hangs on ("" for the
    whole entry), `value` what was given. A warning is shown and does not stop the entry.
    """

    code: str
    field: str
    message: str
    value: str = ""
    warning: bool = False

    def on(self, field: str) -> "Objection":
        """Return the same objection hung on another field."""
        return replace(self, field=field)


class Refused(Exception):
    """An operation wrote nothing; `objections` says all that is in the way."""

    def __init__(self, objections: Sequence[Objection] | Objection) -> None:
        self.objections = (objections,) if isinstance(objections, Objection) else tuple(objections)
        super().__init__(" ".join(o.message for o in self.objections))


class NotAllowed(Refused):
    """The person's roles do not cover what was tried."""
