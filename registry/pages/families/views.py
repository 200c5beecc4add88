"""Families: the list, and one family with its parents, crosses, batches and fish."""

from urllib.parse import urlencode

from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from registry.pages.families.filters import FamilyFilters
from registry.pages.families.tables import FamilyTable
from registry.permissions import CORRECT, ENTER, READ_JOURNAL, may
from registry.queries.fish.families import family_life, family_rows, fish_of
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.people import actor

FISH_SHOWN = 60


class FamilyList(RegisterList):
    """Every family."""

    table_class = FamilyTable
    filter_class = FamilyFilters
    title = "Families"
    actions = (("Enter a spawning", "spawning_enter", ENTER),)

    def rows(self) -> QuerySet:
        return family_rows()


def family(request: HttpRequest, number: str) -> HttpResponse:
    """Show one family."""
    life = family_life(number)
    if life is None:
        raise Http404
    now = life.current
    shown = {
        "title": f"Family {number}",
        "life": life,
        "now": now,
        "pairs": life.pairs.get(now.parentage_id, []) if now else [],
        "earlier": [(one, life.pairs.get(one.parentage_id, [])) for one in life.parents if one.withdrawn_id],
        "fish": fish_of(life.family).select_related("fish").order_by("fish__number")[:FISH_SHOWN],
        "fish_list": f"{address('fish_list')}?{urlencode({'family': number})}",
        "reads_journal": may(actor(request), READ_JOURNAL),
        "corrects": may(actor(request), CORRECT),
    }
    return render(request, "registry/families/family.html", shown)
