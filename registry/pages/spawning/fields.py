"""The clock of a night: times after midnight belong to the next day."""

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django import forms
from django.utils import timezone

from registry.rules.reading import shown

# A time before this is taken as the morning after, unless the day is written too.
MORNING = time(8)
FIRST_YEAR, LAST_YEAR = 1900, 2200
_CLOCK = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[ T]+)?(\d{1,2})[:.h]?(\d{2})")


@dataclass(frozen=True, slots=True)
class Clock:
    """A clock time, with the day where it was written."""

    at: time
    day: date | None = None

    def in_night(self, began: date) -> datetime:
        """Return the moment in the night that began on a day."""
        day = self.day or (began + timedelta(days=1) if self.at < MORNING else began)
        return timezone.make_aware(datetime.combine(day, self.at))


class ClockTime(forms.CharField):
    """A clock time as hands type it: 23:40, 2340, 1.15; the day may stand before it. Cleans to a Clock, or None."""

    def __init__(self, **options: object) -> None:
        widget = forms.TextInput(attrs={"inputmode": "text", "size": 16})
        super().__init__(**{"required": False, "max_length": 20, "widget": widget} | options)

    def clean(self, value: object) -> Clock | None:
        text = super().clean(value)
        if not text:
            return None
        found = _CLOCK.fullmatch(text)
        try:
            if not found:
                raise ValueError
            day = date.fromisoformat(found[1]) if found[1] else None
            if day and not FIRST_YEAR <= day.year <= LAST_YEAR:
                raise ValueError
            return Clock(time(int(found[2]), int(found[3])), day)
        except ValueError:
            raise forms.ValidationError(
                f"“{shown(text)}” is not a clock time. Write it as 23:40, or with the day as 2026-05-04 09:10.",
                code="not_a_time",
            ) from None
