"""Stocks and policy figures as lists."""

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from registry.models import PolicyFigure, Stock
from registry.permissions import ADMINISTER, RELATE_FOUNDERS
from registry.queries.catalogue import (
    IN_FORCE,
    LATER,
    SUPERSEDED,
    figure_rows,
    stock_rows,
)
from registry.web.filters import ChoiceFilter, RegisterFilters, SpeciesFilter, TextFilter
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, ItalicColumn, NumberColumn, RegisterTable, tables

TEMPLATE = "registry/catalogue/list.html"
STATES = [(state, state.capitalize()) for state in (IN_FORCE, SUPERSEDED, LATER)]


class StockTable(RegisterTable):
    """Every stock."""

    name = tables.Column(verbose_name="Stock")
    species = ItalicColumn(accessor="species__scientific_name", verbose_name="Species")
    river = tables.Column()
    ploidy = NumberColumn(verbose_name="Gene copies")
    double_reduction = NumberColumn(verbose_name="Double reduction")
    living = NumberColumn(verbose_name="Living fish")
    females = NumberColumn(verbose_name="Females")
    males = NumberColumn(verbose_name="Males")
    last_order = "name"

    class Meta(RegisterTable.Meta):
        model = Stock
        fields = ("name", "species", "river", "ploidy", "double_reduction", "living", "females", "males")
        order_by = ("name",)
        empty_text = "No stock fits. Loosen a filter, or have the administrator open the first stock."

    def render_double_reduction(self, value: Any) -> str:
        return f"{value.normalize():f}"


class StockFilters(RegisterFilters):
    """What the list of stocks can be narrowed by."""

    name = TextFilter(label="Stock")
    species = SpeciesFilter()
    river = TextFilter(label="River")

    class Meta:
        model = Stock
        fields = ()


class FigureTable(RegisterTable):
    """Every policy figure, those that a later one superseded among them."""

    key = tables.Column(verbose_name="Figure")
    value = NumberColumn(verbose_name="Value")
    unit = tables.Column()
    state = tables.Column()
    in_force_from = DayColumn(verbose_name="In force from")
    meaning = tables.Column(orderable=False)
    source = tables.Column(orderable=False)
    last_order = "key"

    class Meta(RegisterTable.Meta):
        model = PolicyFigure
        fields = ("key", "value", "unit", "state", "in_force_from", "meaning", "source")
        order_by = ("key", "-in_force_from")
        empty_text = "No figure fits. Loosen a filter."

    def render_value(self, value: Any) -> str:
        return f"{value.normalize():f}"

    def render_key(self, value: str) -> str:
        return value.replace("_", " ")


class FigureFilters(RegisterFilters):
    """What the list of figures can be narrowed by."""

    key = TextFilter(label="Figure")
    state = ChoiceFilter(choices=STATES, label="State")

    class Meta:
        model = PolicyFigure
        fields = ()


class StockList(RegisterList):
    """Every stock."""

    table_class = StockTable
    filter_class = StockFilters
    title = "Stocks"
    template_name = TEMPLATE
    actions = (
        ("Open a stock", "stock_open", ADMINISTER),
        ("Set how a stock inherits", "stock_inherits", ADMINISTER),
        ("Say how founders are related", "founders_related", RELATE_FOUNDERS),
    )

    def rows(self) -> QuerySet:
        return stock_rows()


class FigureList(RegisterList):
    """Every policy figure."""

    table_class = FigureTable
    filter_class = FigureFilters
    title = "Policy figures"
    template_name = TEMPLATE
    intro = "The figures that rules and reminders go by. Setting one leaves the earlier ones readable."
    actions = (("Set a figure", "figure_set", ADMINISTER),)

    def rows(self) -> QuerySet:
        return figure_rows(timezone.localdate())
