"""One plan: what is proven of it, its crosses with why each is in, what stands ready if a fish drops out."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from breeding.pages.crosses.bench import Bench, bench_of
from breeding.pages.crosses.lines import lines_of
from breeding.pages.crosses.of_plan import head
from breeding.pages.crosses.pair.sizes import told_sizes
from breeding.pages.crosses.pair.words import effect, why_in
from breeding.pages.crosses.second_best import second_best
from breeding.planning.advice.told import told_proof
from breeding.planning.reasons import figure
from registry.models import CrossPlan
from registry.permissions import ENTER, PLAN, READ_JOURNAL, may
from registry.queries.crosses.plans import plans
from registry.queries.crosses.wishes import wishes_of
from registry.rules.crossing.plans import DRAFT, REVIEW, SIGNED
from registry.web.links import address
from registry.web.people import actor

ROWS_OF_A_SHEET = 18
# A plan that is superseded or closed asks for nothing any more: only what was written of it then is shown.
AT_WORK = (DRAFT, REVIEW, SIGNED)

Told = dict[str, Any]


def plan(request: HttpRequest, number: str) -> HttpResponse:
    """Show one plan."""
    found = get_object_or_404(plans(), number=number)
    who = actor(request)
    bench = bench_of(found) if found.state in AT_WORK else None
    wishes = bench.wishes if bench else wishes_of(found)
    lines = lines_of(found, wishes, may_enter=found.state == SIGNED and may(who, ENTER))
    shown = head(found, "plan") | {
        "title": f"Cross plan {found.number}",
        "signature": getattr(found, "signature", None),
        "pairs": lines,
        "add": address("plan_add", found.number) if found.state == DRAFT and may(who, PLAN) else "",
        "sheet": address("plan_sheet", found.number) if lines else "",
        "journal": address("journal_entry", found.entry_id) if may(who, READ_JOURNAL) else "",
        "kept": _kept(found),
    }
    if bench:
        shown |= _at_work(bench, lines)
    return render(request, "breeding/crosses/plan.html", shown)


def night_sheet(request: HttpRequest, number: str) -> HttpResponse:
    """Show what is left to make on paper for one night: tag codes, a place to tick, and what stands ready."""
    found = get_object_or_404(plans(), number=number)
    bench = bench_of(found) if found.state in AT_WORK else None
    left = [pair for pair in lines_of(found, bench.wishes if bench else wishes_of(found)) if not pair["made"]]
    leaves = [left[start : start + ROWS_OF_A_SHEET] for start in range(0, len(left), ROWS_OF_A_SHEET)]
    shown = {
        "title": f"Night sheet, plan {found.number}",
        "plan": found,
        "leaves": leaves,
        "left": len(left),
        "signature": getattr(found, "signature", None),
        "back": address("plan", found.number),
        "second": second_best(bench) if bench and left else None,
    }
    return render(request, "breeding/crosses/night_sheet.html", shown)


def _at_work(bench: Bench, lines: list[Told]) -> Told:
    """Return what is judged by the register of today; each line gets why it is in."""
    placed, _ = bench.season.positions(line["names"] for line in lines)
    numbers = dict(zip(bench.season.numbers(placed), placed, strict=True)) if placed else {}
    why = why_in(bench)
    for line in lines:
        line["why"] = why.get(numbers.get(line["names"], (-1, -1)), [])
    return {"figures": _figures(bench), "notes": bench.season.notes, "second": second_best(bench)}


def _figures(bench: Bench) -> Told:
    """Return the figures of the crosses as they stand, beside the best plan, and the limits that they break."""
    beside, wanted = bench.beside, bench.problem.crosses if bench.problem else bench.wishes.terms.crosses
    told: Told = {"crosses": len(bench.rows), "wanted": wanted, "searched": bench.best is not None}
    if bench.rows:
        told["broken"] = [one.words for one in bench.faults]
    if beside is None:
        return told
    told |= {
        "diversity": f"{100 * (1 - beside.figures.group_coancestry):.3f} %",
        "kinship": figure(beside.figures.mean_pair_kinship),
        "inbreeding": figure(bench.inbreeding(bench.pairs, bench.sizes)),
        "sizes": told_sizes(bench),
    }
    if bench.as_plan and bench.bound is not None:
        told["proof"] = told_proof(bench.as_plan)
    if bench.optimum and len(bench.pairs) == wanted:
        told["beside"] = effect(beside.worse)
    return told


def _kept(plan: CrossPlan) -> Told | None:
    """Return the figures written of a plan that is no longer at work."""
    row = plan.answers.current().first() if plan.state not in AT_WORK else None
    if row is None:
        return None
    diversity = f"{100 * (1 - float(row.group_coancestry)):.3f} %"
    return {"diversity": diversity, "inbreeding": figure(float(row.mean_inbreeding))}
