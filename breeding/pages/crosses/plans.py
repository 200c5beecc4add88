"""Cross plans: the list, one plan, the sheet for the night, and what is entered of them."""

from typing import Any
from urllib.parse import urlencode

import django_filters
import django_tables2 as tables
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from breeding.pages.crosses.of_plan import head
from breeding.planning.reasons import closeness, figure
from registry.models import CrossPlan, CrossSire, Fish
from registry.permissions import ENTER, PLAN, READ_JOURNAL, may
from registry.queries.crosses.made import made_of
from registry.queries.crosses.plans import only_milt_left, pairs_of, plans
from registry.queries.crosses.spawning import open_codes
from registry.rules.crossing.plans import DRAFT, SIGNED, STATES
from registry.web.filters import ChoiceFilter, RegisterFilters, StockFilter, TextFilter
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.people import actor
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
        empty_text = "No cross plan yet. Look at the pairs of a stock and tick those that are to be made."

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
    actions = (("Look at pairs", "pairs", PLAN), ("Draft a cross plan", "plan_draft", PLAN))

    def rows(self) -> QuerySet:
        return plans()


def plan(request: HttpRequest, number: str) -> HttpResponse:
    """Show one plan: its pairs, what was made of them, and its signature."""
    found = get_object_or_404(plans(), number=number)
    who = actor(request)
    signature = getattr(found, "signature", None)
    may_change = found.state == DRAFT and may(who, PLAN)
    pairs = _pairs(found, may_enter=found.state == SIGNED and may(who, ENTER), may_plan=may_change)
    shown = head(found, "plan") | {
        "title": f"Cross plan {found.number}",
        "signature": signature,
        "mean": _mean(found),
        "pairs": pairs,
        "actions": _actions(found, may_change),
        "journal": address("journal_entry", found.entry_id) if may(who, READ_JOURNAL) else "",
    }
    return render(request, "breeding/crosses/plan.html", shown)


def night_sheet(request: HttpRequest, number: str) -> HttpResponse:
    """Show what is left to make as a sheet of paper for one night: tag codes and a place to tick."""
    found = get_object_or_404(plans(), number=number)
    left = [pair for pair in _pairs(found) if not pair["made"]]
    leaves = [left[start : start + ROWS_OF_A_SHEET] for start in range(0, len(left), ROWS_OF_A_SHEET)]
    shown = {"title": f"Night sheet, plan {found.number}", "plan": found, "leaves": leaves, "left": len(left)}
    shown |= {"signature": getattr(found, "signature", None), "back": address("plan", found.number)}
    return render(request, "breeding/crosses/night_sheet.html", shown)


def _pairs(plan: CrossPlan, *, may_enter: bool = False, may_plan: bool = False) -> list[dict[str, Any]]:
    rows = list(pairs_of(plan))
    codes = open_codes([key for row in rows for key in (row.dam_id, row.sire_id)])
    frozen = only_milt_left([row.sire_id for row in rows])
    made = made_of(plan, rows)
    enter = address("spawning_enter") if may_enter else ""
    out = address("plan_take_out", plan.number) if may_plan else ""
    found = []
    for row in rows:
        names = urlencode({"dam": row.dam.number, "sire": row.sire.number})
        found.append(
            {
                "dam": _fish(row.dam, codes),
                "sire": _fish(row.sire, codes) | {"frozen": row.sire_id in frozen},
                "kinship": figure(float(row.kinship)),
                "words": closeness(float(row.kinship)),
                "comment": row.comment,
                "made": [_made(one) for one in made.get(row.pk, [])],
                "enter": f"{enter}?{names}" if enter else "",
                "take_out": f"{out}?{names}" if out else "",
            }
        )
    return found


def _fish(fish: Fish, codes: dict[int, str]) -> dict[str, Any]:
    return {"number": fish.number, "code": codes.get(fish.pk, ""), "address": address("fish", fish.number)}


def _made(making: CrossSire) -> dict[str, Any]:
    cross = making.cross
    return {
        "pooled": making.share < 1,
        "spawning": cross.spawning,
        "spawned_on": cross.spawning.spawned_on,
        "family": cross.family,
        "address": address("spawning", cross.spawning.number),
    }


def _mean(plan: CrossPlan) -> str:
    return "–" if plan.mean_kinship is None else figure(float(plan.mean_kinship))


def _actions(plan: CrossPlan, may_change: bool) -> list[dict[str, str]]:
    pairs = f"{address('pairs')}?{urlencode({'stock': plan.stock.name, 'season': plan.season})}"
    found = [("Night sheet to print", address("plan_sheet", plan.number))] if plan.pair_count else []
    if may_change:
        found.append(("Look at pairs", pairs))
    return [{"label": label, "address": target} for label, target in found]
