"""The filters of the list of fish."""

from typing import Any

import django_filters
from django.db.models import QuerySet

from registry.models import FishDetails, HoldingUnit, Left, Origin, Sex
from registry.queries.fish.rows import LEFT, LIVING, bearing, in_unit, of_status
from registry.web.filters import ChoiceFilter, RegisterFilters, SpeciesFilter, StockFilter, TextFilter

STATUS = [(LIVING, "Living"), (LEFT, "Left, in any way"), *Left.choices]


class YearFilter(django_filters.NumberFilter):
    """A year; what no calendar holds is refused."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"min_value": 1800, "max_value": 2200, "decimal_places": 0} | options)


class FishFilters(RegisterFilters):
    """What the list of fish can be narrowed by."""

    number = TextFilter(field_name="fish__number", label="Register number")
    tag = django_filters.CharFilter(method="by_tag", label="Tag, or part of it")
    left = ChoiceFilter(method="by_status", choices=STATUS, label="Status")
    species = SpeciesFilter()
    stock = StockFilter()
    sex = ChoiceFilter(choices=Sex.choices, label="Sex")
    origin = ChoiceFilter(choices=Origin.choices, label="Origin")
    hatched_from = YearFilter(field_name="hatched_on", lookup_expr="year__gte", label="Hatched from year")
    hatched_to = YearFilter(field_name="hatched_on", lookup_expr="year__lte", label="Hatched up to year")
    family = TextFilter(field_name="family__number", lookup_expr="iexact", label="Family")
    unit = django_filters.ModelChoiceFilter(
        method="by_unit", queryset=lambda _request: HoldingUnit.objects.current(), empty_label="any", label="Unit"
    )

    class Meta:
        model = FishDetails
        fields = ()

    def by_tag(self, rows: QuerySet, _name: str, text: str) -> QuerySet:
        return bearing(rows, text)

    def by_status(self, rows: QuerySet, _name: str, status: str) -> QuerySet:
        return of_status(rows, status)

    def by_unit(self, rows: QuerySet, _name: str, unit: HoldingUnit) -> QuerySet:
        return in_unit(rows, unit)
