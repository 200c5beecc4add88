"""The list of milt lots."""

from decimal import Decimal

import django_filters
from django.db.models import QuerySet

from registry.models import MiltLot
from registry.permissions import ENTER
from registry.queries.crosses.milt import lot_rows
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, TextFilter
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable, tables


class LotTable(RegisterTable):
    """Every lot, with what is left of it."""

    number = LinkColumn(page="milt_lot", verbose_name="Lot")
    male = LinkColumn(accessor="male__number", page="fish", verbose_name="Male")
    collected_on = DayColumn(verbose_name="Collected")
    state = tables.Column()
    doses = NumberColumn(verbose_name="Doses laid in")
    remaining = NumberColumn(verbose_name="Doses left")
    motility_percent = NumberColumn(verbose_name="Motility (%)")
    position = tables.Column(verbose_name="Where")
    last_order = "number"

    class Meta(RegisterTable.Meta):
        model = MiltLot
        fields = ("number", "male", "collected_on", "state", "doses", "remaining", "motility_percent", "position")
        order_by = ("number",)
        empty_text = "No milt lot fits. Loosen a filter, or lay in the first lot."

    def render_motility_percent(self, value: Decimal) -> str:
        return f"{value.normalize():f}"


class LotFilters(RegisterFilters):
    """What the list of lots can be narrowed by."""

    number = TextFilter(label="Lot")
    male = TextFilter(field_name="male__number", lookup_expr="iexact", label="Male's register number")
    state = ChoiceFilter(choices=MiltLot.State.choices, label="State")
    collected_on = DateRangeFilter(label="Collected")
    position = TextFilter(label="Where")
    remaining = django_filters.BooleanFilter(method="by_remaining", label="Doses left")

    class Meta:
        model = MiltLot
        fields = ()

    def by_remaining(self, rows: QuerySet, _name: str, wanted: bool) -> QuerySet:
        return rows.filter(remaining__gt=0) if wanted else rows.filter(remaining__lte=0)


class LotList(RegisterList):
    """Every milt lot."""

    table_class = LotTable
    filter_class = LotFilters
    title = "Milt lots"
    actions = (("Lay in milt", "milt_collect", ENTER),)

    def rows(self) -> QuerySet:
        return lot_rows()
