"""The list of spawnings, one spawning, and hormones given for it."""

from typing import Any
from urllib.parse import urlencode

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from registry.models import Fish, Induction, Spawning
from registry.operations.crossing.spawning import record_induction
from registry.pages.spawning.filters import SpawningFilters
from registry.pages.spawning.forms import HormoneForm
from registry.pages.spawning.tables import SpawningTable
from registry.permissions import ACKNOWLEDGE, ENTER, READ_JOURNAL, Actor, may
from registry.queries.crosses.spawning import MadeCross, crosses_of, inductions_of, open_codes, spawnings
from registry.queries.crosses.states import signed_plans
from registry.rules.known import KnownPlan
from registry.web.entry_view import EntryView
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.people import actor

CAUTION = (
    "Product, dose, route and waiting time are decided by the licensed veterinarian and by the label valid here; "
    "the register proposes none. Hormones are prescription-only in many countries and hazardous if injected by "
    "accident or in pregnancy: wear gloves, guard the needle. Pituitary extract of unknown health may carry disease. "
    "Treated fish are not released or eaten before the period stated is over."
)


class SpawningList(RegisterList):
    """All spawning nights."""

    table_class = SpawningTable
    filter_class = SpawningFilters
    title = "Spawnings"
    intro = "One line a night: the crosses that were made, and how many fish took part."
    actions = (("Record a spawning", "spawning_enter", ENTER),)

    def rows(self) -> QuerySet:
        return spawnings()


def spawning(request: HttpRequest, number: str) -> HttpResponse:
    """Show one night: what was done, cross by cross, and what comes next."""
    night = get_object_or_404(spawnings().select_related("entry"), number=number)
    crosses = crosses_of(night)
    fish = {made.row.dam_id for made in crosses} | {male.sire_id for made in crosses for male in made.males}
    codes = open_codes(sorted(fish))
    signed = signed_plans(night.stock.name, night.spawned_on.year) if night.stock else {}
    who = actor(request)
    may_enter = may(who, ENTER)
    shown = {
        "title": f"Spawning {night.number}",
        "spawning": night,
        "crosses": [_shown(made, codes, who) | _plan(made, signed) for made in crosses],
        "eggs": sum(made.eggs or 0 for made in crosses),
        "fertilised": sum(made.fertilised or 0 for made in crosses),
        "inductions": inductions_of(night),
        "actions": _actions(night) if may_enter else [],
        "journal": address("journal_entry", night.entry_id) if may(who, READ_JOURNAL) else "",
    }
    return render(request, "registry/spawning/spawning.html", shown)


class RecordInduction(EntryView):
    """A hormone given to a fish of a spawning. No dose is ever proposed."""

    form_class = HormoneForm
    operation = record_induction
    permission = ENTER
    button = "Record"
    caution = CAUTION
    form_names = {"given_at": "given_on"}

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        self.number = kwargs["number"]
        self.title = f"Hormone given for spawning {self.number}"

    def initial(self) -> dict[str, Any]:
        night = get_object_or_404(Spawning.objects.current(), number=self.number)
        return {"given_on": min(night.spawned_on, timezone.localdate()), **super().initial()}

    def form_kwargs(self) -> dict[str, Any]:
        get_object_or_404(Spawning.objects.current(), number=self.number)
        return {"spawning": self.number}

    def after(self, record: Induction) -> str:
        return address("spawning", record.spawning.number)


def _shown(made: MadeCross, codes: dict[int, str], who: Actor) -> dict[str, Any]:
    row = made.row
    batch = address("batch_open") if may(who, ENTER) else ""
    males = [{"row": male, **_parent(male.sire, codes)} for male in made.males]
    return {
        "row": row,
        "eggs": made.eggs,
        "fertilised": made.fertilised,
        "dam": _parent(row.dam, codes),
        "males": males,
        "pooled": len(males) > 1,
        "family": address("family", row.family.number),
        "seen_page": address("off_plan_seen", row.family.number) if may(who, ACKNOWLEDGE) else "",
        "batch": f"{batch}?{urlencode({'family': row.family.number})}" if batch else "",
    }


def _plan(made: MadeCross, signed: dict[tuple[str, int], list[KnownPlan]]) -> dict[str, str]:
    """Return the signed plan that a cross carries out: the one noted with it, or the one that holds all its pairs."""
    pairs = {(made.row.dam.number, male.sire.number) for male in made.males}
    noted = [made.row.planned.plan.number] if made.row.planned else []
    held = [*noted, *(plan.number for plans in signed.values() for plan in plans if pairs <= set(plan.pairs)), ""]
    return {"plan": held[0], "plan_address": address("plan", held[0])}


def _parent(fish: Fish, codes: dict[int, str]) -> dict[str, str]:
    return {"number": fish.number, "address": address("fish", fish.number), "code": codes.get(fish.pk, "")}


def _actions(night: Spawning) -> list[dict[str, str]]:
    found = [
        {"label": "Record another spawning", "address": address("spawning_enter")},
        {"label": "Record a hormone given", "address": address("induction_enter", night.number)},
    ]
    return [action for action in found if action["address"]]
