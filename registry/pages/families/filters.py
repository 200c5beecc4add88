"""The filters of the list of families."""

import django_filters
from django.db.models import Exists, OuterRef, Q, QuerySet

from registry.models import Cross, Family, FamilyParents, Parentage, ParentPair
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, StockFilter, TextFilter


class FamilyFilters(RegisterFilters):
    """What the list of families can be narrowed by."""

    number = TextFilter(label="Family")
    stock = StockFilter()
    parent = django_filters.CharFilter(method="by_parent", label="Parent's register number")
    basis = ChoiceFilter(method="by_basis", choices=Parentage.Basis.choices, label="Evidence")
    spawned_on = DateRangeFilter(method="by_day", label="Crossed")

    class Meta:
        model = Family
        fields = ()

    def by_parent(self, rows: QuerySet, _name: str, number: str) -> QuerySet:
        named = Q(dam__number__iexact=number) | Q(sire__number__iexact=number)
        return rows.filter(
            Exists(_parents().filter(parentage__in=ParentPair.objects.current().filter(named).values("parentage")))
        )

    def by_basis(self, rows: QuerySet, _name: str, basis: str) -> QuerySet:
        return rows.filter(Exists(_parents().filter(parentage__basis=basis)))

    def by_day(self, rows: QuerySet, _name: str, days: slice) -> QuerySet:
        made = Cross.objects.current().filter(family=OuterRef("pk"))
        if days.start:
            made = made.filter(spawning__spawned_on__gte=days.start)
        if days.stop:
            made = made.filter(spawning__spawned_on__lte=days.stop)
        return rows.filter(Exists(made)) if days.start or days.stop else rows


def _parents() -> QuerySet:
    return FamilyParents.objects.current().filter(family=OuterRef("pk"))
