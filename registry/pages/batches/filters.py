"""What the list of batches can be narrowed by."""

import django_filters
from django.db.models import QuerySet

from registry.models import Batch, HoldingUnit
from registry.queries.books.batches import holding_young_of
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, StockFilter, TextFilter

HELD = [("yes", "With fish in them"), ("no", "Empty")]


class BatchFilters(RegisterFilters):
    """Number, what is in it, stock, family, unit, days."""

    number = TextFilter(label="Batch number")
    held = ChoiceFilter(method="by_held", choices=HELD, label="Fish now")
    stock = StockFilter()
    family = django_filters.CharFilter(method="by_family", label="Ever held young of family")
    unit = django_filters.ModelChoiceFilter(
        method="by_unit", queryset=lambda _request: HoldingUnit.objects.current(), empty_label="any", label="Unit"
    )
    opened_on = DateRangeFilter(label="Opened")
    counted_on = DateRangeFilter(label="Last counted")

    class Meta:
        model = Batch
        fields = ()

    def by_held(self, rows: QuerySet, _name: str, held: str) -> QuerySet:
        return rows.filter(account__balance__gt=0) if held == "yes" else rows.exclude(account__balance__gt=0)

    def by_family(self, rows: QuerySet, _name: str, family: str) -> QuerySet:
        return rows.filter(pk__in=holding_young_of(family))

    def by_unit(self, rows: QuerySet, _name: str, unit: HoldingUnit) -> QuerySet:
        return rows.filter(unit=unit.name)
