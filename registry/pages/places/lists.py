"""The list of holding units."""

import django_filters
from django.db.models import QuerySet

from registry.models import Facility, HoldingUnit, UnitKind
from registry.permissions import ADMINISTER, ENTER
from registry.queries.places import unit_rows
from registry.web.filters import ChoiceFilter, RegisterFilters, TextFilter
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable, tables


class UnitTable(RegisterTable):
    """Every holding unit, and what is in it now."""

    name = LinkColumn(page="unit", verbose_name="Unit")
    kind = tables.Column()
    facility = tables.Column(accessor="facility__name", verbose_name="Facility")
    water_system = tables.Column(accessor="water_system__name", verbose_name="Water")
    serves = DayColumn(verbose_name="Quarantine since")
    fish = NumberColumn(verbose_name="Fish")
    batches = NumberColumn(verbose_name="Batches")
    young = NumberColumn(verbose_name="Fish in batches")
    last_order = "name"

    class Meta(RegisterTable.Meta):
        model = HoldingUnit
        fields = ("name", "kind", "facility", "water_system", "serves", "fish", "batches", "young")
        order_by = ("name",)
        empty_text = "No unit fits. Loosen a filter, or have the administrator open the first unit."


class UnitFilters(RegisterFilters):
    """What the list of units can be narrowed by."""

    name = TextFilter(label="Unit")
    kind = ChoiceFilter(choices=UnitKind.choices, label="Kind")
    facility = django_filters.ModelChoiceFilter(
        queryset=lambda _request: Facility.objects.current(), empty_label="any", label="Facility"
    )
    water = TextFilter(field_name="water_system__name", label="Water")
    serves = django_filters.BooleanFilter(field_name="serves", lookup_expr="isnull", exclude=True, label="Quarantine")

    class Meta:
        model = HoldingUnit
        fields = ()


class UnitList(RegisterList):
    """Every holding unit."""

    table_class = UnitTable
    filter_class = UnitFilters
    title = "Holding units"
    actions = (
        ("Open a unit", "unit_open", ADMINISTER),
        ("Log a temperature", "temperature_log", ENTER),
        ("Mark a quarantine unit", "quarantine_unit", ADMINISTER),
    )

    def rows(self) -> QuerySet:
        return unit_rows()
