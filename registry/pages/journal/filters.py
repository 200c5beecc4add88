"""What the journal can be narrowed by: only what an index answers, so that a million entries stay quick."""

import django_filters
from django.db.models import QuerySet

from registry.journal.read import about, values_of
from registry.models import JournalEntry
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters

CORRECTIONS = [("yes", "Corrections only")]


def one_of(column: str) -> ChoiceFilter:
    """Return a filter that offers each value of an indexed column."""
    label = {"who": "Who", "what": "What was done"}[column]
    return ChoiceFilter(choices=lambda: [(value, value) for value in values_of(column)], label=label)


class JournalFilters(RegisterFilters):
    """Who, what, to what, through what, when."""

    who = one_of("who")
    what = one_of("what")
    subject = django_filters.CharFilter(method="by_subject", label="To what: a number, such as UI26-01")
    source = django_filters.CharFilter(lookup_expr="istartswith", label="Through: form, import, demo …")
    corrections = ChoiceFilter(
        method="by_correction", choices=CORRECTIONS, label="Corrections", empty_label="all entries"
    )
    entered_at = DateRangeFilter(label="Entered")
    happened_at = DateRangeFilter(label="Happened")
    seq = django_filters.NumberFilter(lookup_expr="lte", label="Up to entry", min_value=1, decimal_places=0)

    class Meta:
        model = JournalEntry
        fields = ()

    def by_subject(self, rows: QuerySet, _name: str, text: str) -> QuerySet:
        return about(rows, text)

    def by_correction(self, rows: QuerySet, _name: str, _value: str) -> QuerySet:
        return rows.filter(corrects__isnull=False)
