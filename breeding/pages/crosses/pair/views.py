"""One pair in a plan: how close, why it is in or why not, what could stand in its place, and what can be done."""

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from breeding.pages.crosses.bench import Bench, Names, bench_of
from breeding.pages.crosses.of_plan import head, plan_or_404
from breeding.pages.crosses.pair.forms import PairForm
from breeding.pages.crosses.pair.words import (
    asked_about,
    exchanges,
    range_in_words,
    relationship_in_words,
    ruled_out_by,
    why_in,
)
from breeding.planning.advice.told import judged_by
from breeding.planning.reasons import figure
from registry.models import Fish
from registry.permissions import ENTER, PLAN, may
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.doubt import doubts_of
from registry.queries.crosses.pairs import kinship_of_pairs
from registry.rules.crossing.plans import DRAFT
from registry.rules.crossing.wishes import LOCKED
from registry.web.links import address
from registry.web.people import actor

Told = dict[str, Any]


def pair(request: HttpRequest, number: str) -> HttpResponse:
    """Show a pair that the address names; ask for one where it names none."""
    plan = plan_or_404(number)
    asked = any(name in request.GET for name in PairForm.base_fields)
    form = PairForm(request.GET if asked else None)
    shown = head(plan, "plan_pairs") | {"title": f"A pair in plan {number}", "form": form}
    if asked and form.is_valid():
        names = (form.cleaned_data["dam"], form.cleaned_data["sire"])
        bench = bench_of(plan)
        shown |= _about(bench, names) | _to_do(request, bench, names)
        if request.GET.get("ask"):
            shown["answer"] = _asked(bench, names)
    return render(request, "breeding/crosses/pair/pair.html", shown, status=422 if asked and form.errors else 200)


def _about(bench: Bench, names: Names) -> Told:
    inherits = inheritance_of(bench.plan.stock)
    keys = dict(Fish.objects.filter(number__in=names).values_list("number", "pk"))
    of_pair = (keys[names[0]], keys[names[1]])
    kinship = kinship_of_pairs([of_pair], inherits)[of_pair]
    limit = bench.wishes.limits.figure("relationship")
    at_limit = None if limit is None else float(limit) / inherits.ploidy
    wish = bench.wishes.pairs.get(names)
    is_in = names in {(row.dam.number, row.sire.number) for row in bench.rows}
    return {
        "title": f"{names[0]} × {names[1]} in plan {bench.plan.number}",
        "fish": [(name, address("fish", name)) for name in names],
        "kinship": figure(kinship),
        "relationship": figure(kinship * inherits.ploidy),
        "words": relationship_in_words(kinship, inherits.ploidy),
        "range": range_in_words(doubts_of([of_pair], inherits).get(of_pair), at_limit),
        "wish": wish,
        "is_in": is_in,
        **_judged(bench, names, is_in),
    }


def _judged(bench: Bench, names: Names, is_in: bool) -> Told:
    """Return what the season's question says of the pair: why in, by what ruled out, what exchanges do."""
    found, _ = bench.season.positions([names])
    if not found or bench.problem is None:
        return {"why_not": _no_candidates(bench, names)}
    place = found[0]
    told: Told = {
        "inbreeding": figure(bench.inbreeding(found)),
        "exchanges": exchanges(bench, place),
        "judged": judged_by(bench.problem),
    }
    if is_in:
        against = [one.words for one in bench.faults if one.fish and set(one.fish) <= set(names)]
        return told | {"why_in": why_in(bench).get(place, []), "why_not": against}
    out = ruled_out_by(bench.problem, place)
    return told | {"why_not": [f"It may not be made: {', '.join(out)}."] if out else []}


def _no_candidates(bench: Bench, names: Names) -> list[str]:
    why = {one.candidate.number: one.reasons for one in bench.season.left_out}
    told = [reason.words for name in names for reason in why.get(name, ())]
    strange = [name for name in names if name not in why and name not in bench.season.candidates]
    return told + [f"{name} is not among the fish that this plan is made of." for name in strange]


def _asked(bench: Bench, names: Names) -> list[str]:
    found, _ = bench.season.positions([names])
    return asked_about(bench, found[0]) if found else _no_candidates(bench, names)


def _to_do(request: HttpRequest, bench: Bench, names: Names) -> Told:
    who, number = actor(request), bench.plan.number
    query = urlencode({"dam": names[0], "sire": names[1]})
    wish = bench.wishes.pairs.get(names)
    return {
        "may_plan": bench.plan.state == DRAFT and may(who, PLAN),
        "locked": wish is not None and wish.stand == LOCKED,
        "query": query,
        "swap": f"{address('plan_swap', number)}?{query}",
        "size": f"{address('plan_size', number)}?{query}",
        "take_out": f"{address('plan_take_out', number)}?{query}",
        "forbid": f"{address('plan_stand', number)}?{query}&stand=forbidden",
        "remark": f"{address('plan_remark', number)}?{query}" if may(who, ENTER) else "",
    }
