"""The register as it was known on a day: what had been entered by its end, and not yet taken back."""

import json
from collections.abc import Collection, Iterable
from datetime import date, datetime, time, timedelta
from typing import TypeVar

from django.db.models import Q, QuerySet
from django.utils import timezone

from registry.models import JournalEntry, Record

Rows = TypeVar("Rows", bound=QuerySet)


def known_on(rows: Rows, day: date | None) -> Rows:
    """Return the rows that held in the register at the end of `day`; those that hold now when no day is given.

    Open ends (the last day of a tag, a stay, a role) may have been filled later; `open_ends_again` takes those out.
    """
    if day is None:
        return rows.filter(withdrawn__isnull=True)
    end = end_of(day)
    return rows.filter(Q(withdrawn__isnull=True) | Q(withdrawn__entered_at__gte=end), entry__entered_at__lt=end)


def open_ends_again(rows: Iterable[Record], subjects: Collection[str], day: date | None) -> None:
    """Take out of rows, as they were read, the ends that were filled after a day; the journal knows before and after.

    `subjects` are the entries to look at, such as "fish 12-004". Nothing is written.
    """
    ended = {
        (row._meta.model_name, row.pk): row
        for row in rows
        if any(getattr(row, name) not in (None, "") for name in row.OPEN_ENDS)
    }
    if day is None or not ended:
        return
    later = JournalEntry.objects.filter(subject__in=subjects, entered_at__gte=end_of(day)).order_by("-seq")
    for body in later.values_list("body", flat=True):
        for change in json.loads(body)["rows"]:
            row = ended.get((change["kind"], change["id"]))
            for name, value in change.get("before", {}).items() if row else ():
                if name in row.OPEN_ENDS:
                    setattr(row, name, value)


def end_of(day: date) -> datetime:
    """Return the first moment after a day, in the hatchery's own time."""
    return timezone.make_aware(datetime.combine(day + timedelta(days=1), time()))
