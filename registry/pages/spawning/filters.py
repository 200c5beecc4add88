"""Filters of the list of spawnings."""

from typing import Any

import django_filters
from django.db.models import QuerySet

from registry.models import Cross, CrossSire, Spawning
from registry.web.filters import DateRangeFilter, RegisterFilters, StockFilter, TextFilter


class SpawningFilters(RegisterFilters):
    """By number, stock, season, night, and the parents' register numbers."""

    number = TextFilter(label="Number")
    stock = StockFilter()
    season = django_filters.NumberFilter(
        field_name="spawned_on", lookup_expr="year", label="Season", decimal_places=0, min_value=1900, max_value=2200
    )
    night = DateRangeFilter(field_name="spawned_on", label="Night")
    dam = TextFilter(label="Female", method="with_dam")
    sire = TextFilter(label="Male", method="with_sire")
    family = TextFilter(label="Family", method="with_family")

    class Meta:
        model = Spawning
        fields: list[str] = []

    def with_dam(self, rows: QuerySet, _name: str, value: Any) -> QuerySet:
        """Keep nights in which a female of that number was crossed."""
        crosses = Cross.objects.current().filter(dam__number__icontains=value)
        return rows.filter(pk__in=crosses.values("spawning"))

    def with_sire(self, rows: QuerySet, _name: str, value: Any) -> QuerySet:
        """Keep nights in which a male of that number was used."""
        males = CrossSire.objects.current().filter(sire__number__icontains=value, cross__withdrawn__isnull=True)
        return rows.filter(pk__in=males.values("cross__spawning"))

    def with_family(self, rows: QuerySet, _name: str, value: Any) -> QuerySet:
        """Keep nights in which a family of that number was founded."""
        crosses = Cross.objects.current().filter(family__number__icontains=value)
        return rows.filter(pk__in=crosses.values("spawning"))
