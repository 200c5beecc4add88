"""The register as it was known on a day: what had been entered by its end, and not yet taken back."""

from datetime import date, datetime, time, timedelta
from typing import TypeVar

from django.db.models import Q, QuerySet
from django.utils import timezone

Rows = TypeVar("Rows", bound=QuerySet)


def known_on(rows: Rows, day: date | None) -> Rows:
    """Return the rows that held in the register at the end of `day`; those that hold now when no day is given.

    Open ends (the last day of a tag, a stay, a role) may have been filled later; their row tells of it, not the day.
    """
    if day is None:
        return rows.filter(withdrawn__isnull=True)
    end = end_of(day)
    return rows.filter(Q(withdrawn__isnull=True) | Q(withdrawn__entered_at__gte=end), entry__entered_at__lt=end)


def end_of(day: date) -> datetime:
    """Return the first moment after a day, in the hatchery's own time."""
    return timezone.make_aware(datetime.combine(day + timedelta(days=1), time()))
