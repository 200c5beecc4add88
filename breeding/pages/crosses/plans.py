"""Cross plans as a list."""

from typing import Any

import django_filters
import django_tables2 as tables
from django.db.models import QuerySet

from breeding.planning.reasons import figure
from registry.models import CrossPlan
from registry.permissions import PLAN
from registry.queries.crosses.plans import plans
from registry.rules.crossing.plans import STATES
from registry.web.filters import ChoiceFilter, RegisterFilters, StockFilter, TextFilter
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable

ROWS_OF_A_SHEET = 18


class PlanTable(RegisterTable):
    """One plan a row."""

    number = LinkColumn(page="plan", verbose_name="Plan")
    stock = tables.Column(accessor="stock__name", verbose_name="Stock")
    season = NumberColumn(verbose_name="Season")
    pair_count = NumberColumn(verbose_name="Pairs")
    mean_kinship = NumberColumn(verbose_name="Mean kinship")
    made_count = NumberColumn(verbose_name="Made")
    state = tables.Column(verbose_name="State")
    signed_on = DayColumn(accessor="signature__signed_on", verbose_name="Signed")
    signed_by = tables.Column(accessor="signature__user__username", verbose_name="By")

    last_order = "number"

    class Meta(RegisterTable.Meta):
        model = CrossPlan
        fields = ["number", "stock", "season", "pair_count", "mean_kinship", "made_count", "state"]
        fields += ["signed_on", "signed_by"]
        order_by = "-season"
        empty_text = "No cross plan yet. Draft one for a stock and season, then look for its best crosses."

    def render_mean_kinship(self, value: Any) -> str:
        return figure(float(value))


class PlanFilters(RegisterFilters):
    """By number, stock, season and state."""

    number = TextFilter(label="Number")
    stock = StockFilter()
    season = django_filters.NumberFilter(label="Season", decimal_places=0, min_value=1900, max_value=2200)
    state = ChoiceFilter(choices=[(state, state) for state in STATES], label="State")

    class Meta:
        model = CrossPlan
        fields: list[str] = []


class PlanList(RegisterList):
    """All cross plans."""

    table_class = PlanTable
    filter_class = PlanFilters
    title = "Cross plans"
    intro = "The crosses proposed for a stock and season. A signed plan is never changed but by an amendment."
    actions = (("Draft a cross plan", "plan_draft", PLAN),)

    def rows(self) -> QuerySet:
        return plans()
