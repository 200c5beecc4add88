"""Projections of a stock: started, watched, cancelled, read."""

from dataclasses import asdict
from functools import partial
from itertools import count, islice
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_POST

from breeding.figures.curve import Axes, Series, curve
from breeding.pages.status.asked import asked, query_of, unasked
from breeding.pages.status.exports import csv_file
from breeding.pages.status.forms import OneStockForm, ProjectionForm
from breeding.planning.projection.question import EQUAL, HABIT, PLAN, RANDOM, Question
from breeding.planning.projection.run import METHOD, project, refuse_impossible
from registry.exports import runs
from registry.models import Fish, Stock
from registry.permissions import PLAN as MAY_PLAN
from registry.permissions import may
from registry.queries.status.keep import kept_status
from registry.queries.status.outlook import SEASONS, plans_of, question_of
from registry.queries.status.revision import pedigree_revision
from registry.web.people import actor, needs, require_on_page

WAYS = {
    PLAN: "First by the plan, then equal use",
    EQUAL: "Equal use of every parent",
    RANDOM: "Parents and family sizes by chance",
    HABIT: f"As unequal as in the last {SEASONS} seasons",
}
FIGURES = {"gene_diversity": "gene diversity", "inbreeding": "mean inbreeding F"}
SHOWN = 20
PROJECTIONS = runs.Kind("projections", "A projection is running. Wait until it is done, or cancel it.")


def projection(request: HttpRequest) -> HttpResponse:
    """Show the projections of a stock and the form for another one; start it."""
    form = asked(request, OneStockForm)
    if not form.is_valid():
        return unasked(request, form)
    stock = form.cleaned_data["stock"]
    plans = plans_of(stock)
    wanted, why, going_on = ProjectionForm(plans=plans), "", None
    if request.method == "POST":
        require_on_page(request, MAY_PLAN)
        wanted = ProjectionForm(request.POST, plans=plans)
        if wanted.is_valid():
            try:
                return HttpResponseRedirect(reverse("status_projection_run", args=[_start(request, stock, wanted)]))
            except (runs.Busy, ValueError) as error:
                why = str(error)
                going_on = next((run for run in runs.recent(PROJECTIONS) if run["state"] == runs.RUNNING), None)
    shown = {
        "title": "Projection",
        "asked": form,
        "stock": stock,
        "query": query_of(form),
        "here": "projection",
        "form": wanted,
        "why": why,
        "going_on": going_on,
        "may_start": may(actor(request), MAY_PLAN),
        "runs": list(islice(runs.recent(PROJECTIONS, stock=stock.name), SHOWN)),
    }
    status = 422 if why or wanted.errors else 200
    return render(request, "breeding/status/projection.html", shown, status=status)


def projection_run(request: HttpRequest, token: str) -> HttpResponse:
    """Show how far a projection is, or what it found."""
    run = _found(token)
    outcomes = run.get("outcomes", {})
    if outcomes and request.GET.get("export") == "projection":
        return csv_file(f"{run['stock']} projection {token}", _sheet(run))
    may_stop = run["state"] == runs.RUNNING and may(actor(request), MAY_PLAN)
    shown = {"title": f"Projection of {run['stock']}", "run": run, "may_stop": may_stop}
    if outcomes:
        shown |= {
            "pictures": [_picture(outcomes, name, words) for name, words in FIGURES.items()],
            "rows": list(_sheet(run)[1]),
            "changed": run["pedigree_revision"] != pedigree_revision(),
        }
    return render(request, "breeding/status/run.html", shown)


@require_POST
@needs(MAY_PLAN)
def projection_cancel(_request: HttpRequest, token: str) -> HttpResponse:
    """Stop a projection after the replicate at hand."""
    _found(token)
    runs.cancel(PROJECTIONS, token)
    return HttpResponseRedirect(reverse("status_projection_run", args=[token]))


def _found(token: str) -> runs.Run:
    run = runs.read(PROJECTIONS, token)
    if run is None:
        raise Http404
    return run


def _start(request: HttpRequest, stock: Stock, form: ProjectionForm) -> str:
    revision, chosen = pedigree_revision(), form.asked()
    status = kept_status(stock)
    if status is None:
        raise ValueError("No fish of this stock lives here. Admit or register fish first.")
    question = question_of(stock, status, chosen, timezone.localdate())
    refuse_impossible(question)
    numbers = dict(Fish.objects.filter(pk__in=[*question.dams, *question.sires]).values_list("pk", "number"))
    told = {
        "stock": stock.name,
        "asked": asdict(chosen),
        "loci": question.loci,
        "related": len(question.pedigree.founder_kinship.fish) if question.pedigree.founder_kinship else 0,
        "dams": [numbers[key] for key in question.dams],
        "sires": [numbers[key] for key in question.sires],
        "plan": [[numbers[dam], numbers[sire]] for dam, sire in question.plan],
        "crosses_of_habit": len(question.habit),
        "pedigree_revision": revision,
        "method": METHOD,
        "by": actor(request).name,
        "done": 0,
        "of": question.replicates,
    }
    return runs.start(PROJECTIONS, told, partial(_work, question))


def _work(question: Question, sign: runs.Sign) -> runs.Run:
    done = count()

    def tick() -> None:
        if sign.cancelled():
            raise runs.Cancelled
        sign.tell(done=next(done))

    found = project(question, tick)
    outcomes = {way: {name: band._asdict() for name, band in each._asdict().items()} for way, each in found.items()}
    return {"done": question.replicates, "outcomes": outcomes}


def _picture(outcomes: dict[str, Any], name: str, words: str) -> SafeString:
    lines = []
    for way, label in WAYS.items():
        if way in outcomes:
            band = outcomes[way][name]
            steps = list(range(len(band["mean"])))
            lines.append(Series(label, steps, band["mean"], band["low"], band["high"], "9 replicates in 10"))
    drawn = curve(lines, Axes("generation", words), f"Projected {words}", name.replace("_", "-"))
    return mark_safe(drawn)  # noqa: S308  (drawn by the site, every text escaped)


def _sheet(run: runs.Run) -> tuple[list[str], list[list[Any]]]:
    headings = ["way of crossing", "generation"]
    headings += [
        f"{words}, {part}" for words in FIGURES.values() for part in ("mean", "5th percentile", "95th percentile")
    ]
    rows = []
    for way, label in WAYS.items():
        if bands := run["outcomes"].get(way):
            columns = [bands[name][part] for name in FIGURES for part in ("mean", "low", "high")]
            rows += [[label, generation, *values] for generation, values in enumerate(zip(*columns, strict=True))]
    return headings, rows
