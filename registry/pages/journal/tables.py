"""The list of journal entries: page, file and print."""

from typing import Any

from django.core.paginator import Paginator
from django.utils.functional import cached_property

from registry.models import JournalEntry
from registry.web.tables import LinkColumn, RegisterTable, TimeColumn, tables

MOST_PAGED = 10_000


class Capped(Paginator):
    """Counts no further than a person pages: a journal of a million entries is not counted through for each page."""

    @cached_property
    def _found(self) -> int:
        return self.object_list.data.data.values_list("pk", flat=True)[: MOST_PAGED + 1].count()

    @property
    def count(self) -> int:
        """Return how many rows can be paged through."""
        return min(self._found, MOST_PAGED)

    @property
    def more(self) -> bool:
        """Return whether there are more rows than that."""
        return self._found > MOST_PAGED


class JournalTable(RegisterTable):
    """Journal entries, the latest first."""

    seq = LinkColumn(page="journal_entry", verbose_name="Entry")
    entered_at = TimeColumn(verbose_name="Entered")
    happened_at = TimeColumn(verbose_name="Happened")
    who = tables.Column(verbose_name="Who", orderable=False)
    what = tables.Column(verbose_name="What", orderable=False)
    subject = tables.Column(verbose_name="To what", orderable=False)
    source = tables.Column(verbose_name="Through", orderable=False)
    reason = tables.Column(verbose_name="Reason", orderable=False)
    corrects = LinkColumn(accessor="corrects_id", page="journal_entry", verbose_name="Corrects", orderable=False)
    last_order = "-seq"

    class Meta(RegisterTable.Meta):
        model = JournalEntry
        fields = ("seq", "entered_at", "happened_at", "who", "what", "subject", "source", "reason", "corrects")
        order_by = ("-seq",)
        empty_text = "No entry fits. Loosen a filter."

    def paginate(self, *args: Any, **options: Any) -> None:
        """Page through the first rows only; a filter reaches the others."""
        super().paginate(*args, **{"paginator_class": Capped} | options)
