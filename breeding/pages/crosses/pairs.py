"""Pairs of a stock and season: ranked, refused with reasons, and put into a draft plan."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone
from django.views import View
from django_tables2 import RequestConfig

from breeding.pages.crosses.forms import IntoPlanForm, SeasonForm
from breeding.pages.crosses.pair_tables import RefusedTable, matrix, pair_table, refused_rows
from registry.errors import Objection, Refused
from registry.models import Fish, Stock
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.pairs import add_pair
from registry.operations.shared.entries import PairAdded, PairWanted, PlanDraft
from registry.permissions import PLAN, Actor, may
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.candidates import Candidate, Season, left_out, mature, ready, season_of, why_not
from registry.queries.crosses.pairs import Proposals, kinship_of_pairs, past_of, proposals
from registry.queries.crosses.plans import drafts, free_plan_number
from registry.queries.known import Named, known
from registry.web.links import address
from registry.web.lists import PAGE_SIZES
from registry.web.people import actor, require_on_page


@dataclass
class Asked:
    """The stock and season that the address names, and what the register says of them."""

    request: HttpRequest

    @cached_property
    def form(self) -> SeasonForm:
        """Return the form as the address fills it; the first stock and this year by default."""
        given = {name: self.request.GET[name] for name in SeasonForm.base_fields if name in self.request.GET}
        first = Stock.objects.current().values_list("name", flat=True).first()
        return SeasonForm({"stock": first, "season": timezone.localdate().year} | given)

    @cached_property
    def season(self) -> Season:
        """Return what candidates are judged by."""
        return season_of(self.form.cleaned_data["stock"], timezone.localdate())

    @cached_property
    def found(self) -> list[Candidate]:
        """Return the candidates: ready ones, or all of mature age."""
        return mature(self.season) if self.form.cleaned_data["beyond"] else ready(self.season)

    @cached_property
    def proposed(self) -> Proposals:
        """Return their pairs, ranked."""
        return proposals(self.season.stock, self.found, known(Named()).policy)

    def shown(self) -> dict[str, Any]:
        """Return what all pages of pairs show."""
        return {
            "asked": self.form,
            "query": self.request.GET.urlencode(),
            "season": self.season,
            "females": [one for one in self.found if one.sex == "F"],
            "males": [one for one in self.found if one.sex == "M"],
            "proposed": self.proposed,
            "page_sizes": PAGE_SIZES,
            "per_page": _page_size(self.request),
        }


class Pairs(View):
    """The ranked pairs; ticked ones go into a draft plan."""

    def get(self, request: HttpRequest) -> HttpResponse:
        asked = Asked(request)
        return _page(request, asked) if asked.form.is_valid() else _unasked(request, asked)

    def post(self, request: HttpRequest) -> HttpResponse:
        require_on_page(request, PLAN)
        asked = Asked(request)
        if not asked.form.is_valid():
            return _unasked(request, asked)
        stock, season = asked.season.stock, asked.form.cleaned_data["season"]
        into = IntoPlanForm(request.POST, drafts=drafts(stock, season))
        pairs = _ticked(request.POST.getlist("pair"), stock)
        if not pairs:
            return _page(request, asked, into, ("Tick at least one pair of this page.",), status=422)
        if not into.is_valid():
            return _page(request, asked, into, status=422)
        number = into.cleaned_data["plan"] or into.cleaned_data["new_number"]
        try:
            if into.cleaned_data["plan"]:
                _add_all(actor(request), number, pairs)
            else:
                draft_plan(
                    actor(request), PlanDraft(number=number, stock=stock.name, season=season, pairs=tuple(pairs))
                )
        except Refused as refused:
            told = tuple(dict.fromkeys(objection.message for objection in refused.objections))
            return _page(request, asked, into, told, status=422)
        count = f"{len(pairs)} pair{'s' if len(pairs) > 1 else ''}"
        messages.success(request, f"Written: {count} put into plan {number}.")
        return HttpResponseRedirect(address("plan", number))


def refused_pairs(request: HttpRequest) -> HttpResponse:
    """Show the pairs that may not be planned, each with its reasons."""
    asked = Asked(request)
    if not asked.form.is_valid():
        return _unasked(request, asked)
    table = RefusedTable(refused_rows(asked.proposed))
    _paged(request, table)
    return render(request, "breeding/crosses/refused.html", asked.shown() | {"title": "Pairs refused", "table": table})


def fish_left_out(request: HttpRequest) -> HttpResponse:
    """Show the fish of mature age that are no candidates, each with its reasons."""
    asked = Asked(request)
    if not asked.form.is_valid():
        return _unasked(request, asked)
    paginator = Paginator(left_out(asked.season), _page_size(request))
    page = paginator.get_page(request.GET.get("page"))
    shown = {
        "title": "Fish left out",
        "asked": asked.form,
        "season": asked.season,
        "query": request.GET.urlencode(),
        "fish": [(one, address("fish", one.number)) for one in why_not(page, asked.season)],
        "table": {"page": page, "paginator": paginator},
        "page_sizes": PAGE_SIZES,
        "per_page": _page_size(request),
    }
    return render(request, "breeding/crosses/left_out.html", shown)


def _page(
    request: HttpRequest,
    asked: Asked,
    into: IntoPlanForm | None = None,
    told: Iterable[str] = (),
    status: int = 200,
) -> HttpResponse:
    stock, season = asked.season.stock, asked.form.cleaned_data["season"]
    keys = {one.number: one.key for one in asked.found}
    may_plan = may(actor(request), PLAN)
    proposed = asked.proposed
    past = past_of(proposed.females, proposed.males, season)
    ticked = set(request.POST.getlist("pair"))
    table = pair_table(proposed, past, keys, ticked if may_plan else None)
    _paged(request, table)
    if may_plan and into is None:
        open_ones = drafts(stock, season)
        into = IntoPlanForm(drafts=open_ones, initial={"new_number": "" if open_ones else free_plan_number(season)})
    shown = {"title": "Pairs", "table": table, "into": into, "told": told, "matrix": matrix(proposed)}
    return render(request, "breeding/crosses/pairs.html", asked.shown() | shown, status=status)


def _unasked(request: HttpRequest, asked: Asked) -> HttpResponse:
    """Return the bare form: the address names no stock or season that there is, or the register has no stock."""
    status = 422 if Stock.objects.current().exists() else 200
    return render(request, "breeding/crosses/unasked.html", {"title": "Pairs", "asked": asked.form}, status=status)


def _ticked(values: list[str], stock: Stock) -> list[PairWanted]:
    """Return the pairs ticked, with their kinship by today's pedigree; what names no two fish is passed over."""
    keys = [tuple(int(key) for key in value.split("-")) for value in values if _two_keys(value)]
    numbers = dict(Fish.objects.filter(pk__in={key for pair in keys for key in pair}).values_list("pk", "number"))
    pairs = [(dam, sire) for dam, sire in keys if dam in numbers and sire in numbers]
    return [
        PairWanted(dam=numbers[dam], sire=numbers[sire], kinship=Decimal(repr(kinship)))
        for (dam, sire), kinship in kinship_of_pairs(pairs, inheritance_of(stock)).items()
    ]


def _two_keys(value: str) -> bool:
    parts = value.split("-")
    return len(parts) == 2 and all(part.isascii() and part.isdigit() and len(part) < 16 for part in parts)


def _add_all(by: Actor, plan: str, pairs: list[PairWanted]) -> None:
    """Put all pairs into the plan, or none. Raises Refused with what is in the way of any of them."""
    found: list[Objection] = []
    with transaction.atomic():
        for pair in pairs:
            try:
                add_pair(by, PairAdded(plan=plan, pair=pair))
            except Refused as refused:
                found += refused.objections
        if found:
            raise Refused(found)


def _paged(request: HttpRequest, table: Any) -> None:
    RequestConfig(request, paginate=False).configure(table)
    table.paginate(per_page=_page_size(request))
    table.page = table.paginator.get_page(request.GET.get("page"))


def _page_size(request: HttpRequest) -> int:
    asked = request.GET.get("per_page", "")
    return int(asked) if asked in {str(size) for size in PAGE_SIZES} else PAGE_SIZES[0]
