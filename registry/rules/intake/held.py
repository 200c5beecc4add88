"""What holds a fish or a batch back: quarantines and waiting times."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Hold:
    """Days on which fish are held back: a quarantine, open until the veterinarian ends it, or a waiting time.

    `why` is the unit of the quarantine, or the product of the treatment; `until` the first day on which it is over.
    """

    since: date
    until: date | None = None
    why: str = ""
    bars_crossing: bool = True

    def on(self, day: date) -> bool:
        """Return whether it holds back that day."""
        return self.since <= day and (self.until is None or day < self.until)


@dataclass(slots=True, kw_only=True)
class Held:
    """What a fish and a batch share: both may be in quarantine, and withheld after a treatment."""

    quarantines: tuple[Hold, ...] = ()
    waits: tuple[Hold, ...] = ()

    def quarantined(self, day: date) -> Hold | None:
        """Return the quarantine in which it is that day."""
        return next((one for one in self.quarantines if one.on(day)), None)

    def withheld(self, day: date) -> Hold | None:
        """Return the waiting time after a treatment that runs that day, the longest if there are several."""
        running = [one for one in self.waits if one.on(day)]
        return max(running, key=lambda one: one.until or date.max, default=None)

    def held_on(self, day: date) -> tuple[tuple[Hold, ...], tuple[Hold, ...]]:
        """Return the quarantines and the waiting times that run that day."""
        return tuple(one for one in self.quarantines if one.on(day)), tuple(one for one in self.waits if one.on(day))

    def open_quarantine(self) -> Hold | None:
        """Return the quarantine that nobody has ended yet."""
        return next((one for one in self.quarantines if one.until is None), None)
