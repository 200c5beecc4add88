"""Where a record comes from, with the probability and evidence of every step; and what came of it."""

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from breeding.figures.lineage_tree import LARGEST_TREE
from registry.pages.trace.forms import TraceForm
from registry.pages.trace.pictures import certainty, picture
from registry.permissions import READ_JOURNAL, may
from registry.queries.due.today import journal_head
from registry.queries.identity.find import Hit
from registry.queries.trace.down import offspring_of
from registry.queries.trace.lineage import Line, Lineage, Node, chance, unfolded
from registry.queries.trace.start import advice, starts
from registry.queries.trace.up import lineage_of
from registry.rules.days import spoken
from registry.web.links import address
from registry.web.people import actor

EMPTY = {"title": "Trace"}


def trace(request: HttpRequest) -> HttpResponse:
    """Show a lineage up to founders, or what came of a record; ask for one when none is named."""
    form = TraceForm(request.GET or None)
    if not form.is_bound or not form.is_valid() or not form.cleaned_data["q"]:
        return render(request, "registry/trace/trace.html", EMPTY | {"form": form}, status=422 if form.errors else 200)
    text, known = form.cleaned_data["q"], form.cleaned_data["known_on"]
    hits = starts(text)
    if len(hits) != 1:
        shown = {"form": form, "why": advice(text, hits), "hits": [_choice(request, hit) for hit in hits]}
        return render(request, "registry/trace/trace.html", EMPTY | shown, status=200 if hits else 404)
    hit = hits[0]
    shown = {"form": form, "hit": hit, "address": address(hit.kind, hit.number), "head": journal_head()}
    shown |= {"journal": may(actor(request), READ_JOURNAL), "today": timezone.localdate()}
    if form.cleaned_data["way"] == "down":
        shown |= {"title": f"What came of {hit.kind} {hit.number}", "down": offspring_of(hit.kind, hit.number)}
        return render(request, "registry/trace/down.html", shown)
    try:
        lineage = lineage_of(hit.kind, hit.number, known)
    except LookupError:
        return render(request, "registry/trace/trace.html", EMPTY | {"form": form, "why": _not_yet(hit, known)})
    return render(request, "registry/trace/up.html", shown | _up(hit, lineage, known))


def _up(hit: Hit, lineage: Lineage, known: date | None) -> dict[str, Any]:
    return {
        "title": f"Where {hit.kind} {hit.number} comes from",
        "known": known,
        "start": lineage.nodes[lineage.start],
        "picture": picture(lineage),
        "largest": LARGEST_TREE,
        "certainty": certainty(lineage),
        "founders": [_named(node) for node in lineage.founders],
        "lines": [_line(line, lineage) for line in unfolded(lineage)],
        "records": len(lineage.nodes),
    }


def _line(line: Line, lineage: Lineage) -> dict[str, Any]:
    step = line.step
    return {
        "depth": line.depth,
        "indent": range(line.depth - 1),
        "again": line.again,
        "step": step,
        "source": lineage.nodes[step.source],
        "node": lineage.nodes[step.origin],
        "address": _named(lineage.nodes[step.origin])["address"],
        "probability": chance(step.probability),
        "entry": address("journal_entry", step.written.seq) if step.written else "",
        "corrections": [(one, address("journal_entry", one.seq)) for one in lineage.nodes[step.origin].corrections],
    }


def _named(node: Node) -> dict[str, str]:
    known = not node.key.startswith("unknown")
    return {"number": node.number, "kind": node.kind, "address": address(node.kind, node.number) if known else ""}


def _choice(request: HttpRequest, hit: Hit) -> dict[str, str]:
    asked = request.GET.copy()
    asked["q"] = f"{hit.kind} {hit.number}"
    return {"text": f"{hit.kind} {hit.number}", "detail": hit.why, "address": f"{request.path}?{asked.urlencode()}"}


def _not_yet(hit: Hit, known: date | None) -> str:
    day = spoken(known) if known else "that day"
    return f"{hit.kind.capitalize()} {hit.number} was not yet in the register on {day}. Choose a later day."
