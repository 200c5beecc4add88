"""The best plan: looked for beside the site, watched, cancelled, read with its proof."""

from itertools import islice
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views import View
from django.views.decorators.http import require_POST

from breeding.pages.crosses.bench import PLANS, Bench, bench_of
from breeding.pages.crosses.of_plan import head, plan_or_404
from breeding.pages.crosses.optimum.blocked import blocked
from breeding.pages.crosses.optimum.forms import SearchForm
from breeding.pages.crosses.optimum.runs_of import elapsed, runs_of, start_run
from breeding.pages.crosses.optimum.shown import answer_of, progress_of
from registry.exports import runs
from registry.permissions import PLAN, may
from registry.rules.crossing.plans import DRAFT
from registry.web.people import actor, needs, require_on_page

SHOWN = 8
NONE = "There is no female or no male that may be planned with."


class BestPlan(View):
    """The newest search for the best plan, and the form for another one."""

    def get(self, request: HttpRequest, number: str) -> HttpResponse:
        return _page(request, bench_of(plan_or_404(number)), SearchForm())

    def post(self, request: HttpRequest, number: str) -> HttpResponse:
        require_on_page(request, PLAN)
        bench, form = bench_of(plan_or_404(number)), SearchForm(request.POST)
        if not form.is_valid():
            return _page(request, bench, form)
        if bench.problem is None:
            return _page(request, bench, form, NONE)
        try:
            start_run(bench, int(form.cleaned_data["seconds"]), actor(request).name)
        except runs.Busy as busy:
            return _page(request, bench, form, str(busy))
        return HttpResponseRedirect(reverse("plan_best", args=[number]))


def search_run(request: HttpRequest, number: str, token: str) -> HttpResponse:
    """Show one search for the best plan, a past one too."""
    bench = bench_of(plan_or_404(number))
    return _page(request, bench, SearchForm(), run=_found(bench.plan.number, token))


def search_progress(request: HttpRequest, number: str, token: str) -> HttpResponse:
    """Show how far a search is, for a page that is open; X-Ended once there is more to see."""
    run = _found(number, token)
    answer = render(request, "breeding/crosses/optimum/progress.html", {"progress": progress_of(run, elapsed(run))})
    if run["state"] != runs.RUNNING:
        answer.headers["X-Ended"] = "1"
    return answer


@require_POST
@needs(PLAN)
def search_cancel(_request: HttpRequest, number: str, token: str) -> HttpResponse:
    """Ask a search to stop; the best so far is kept with its honest gap."""
    _found(number, token)
    runs.cancel(PLANS, token)
    return HttpResponseRedirect(reverse("plan_best_run", args=[number, token]))


def _found(number: str, token: str) -> runs.Run:
    run = runs.read(PLANS, token)
    if run is None or run["plan"] != number:
        raise Http404
    return run


def _page(
    request: HttpRequest, bench: Bench, form: SearchForm, why: str = "", run: runs.Run | None = None
) -> HttpResponse:
    past = list(islice(runs_of(bench.plan), SHOWN))
    run = run or (past[0] if past else None)
    may_plan = bench.plan.state == DRAFT and may(actor(request), PLAN)
    shown: dict[str, Any] = head(bench.plan, "plan_best") | {
        "title": f"Best plan for {bench.plan.number}",
        "possible": bench.problem is not None,
        "none": NONE,
        "notes": bench.season.notes,
        "form": form if may_plan else None,
        "why": why,
        "run": run,
        "past": past,
        "may_plan": may_plan,
        "relaxed": bench.wishes.limits.relaxed(),
    }
    if run and run["state"] == runs.RUNNING:
        shown["progress"] = progress_of(run, elapsed(run))
    elif run and "best" in run:
        shown |= answer_of(bench, run, may_plan)
    elif run and "blocking" in run:
        shown["blocked"] = blocked(bench, run, may_plan)
    status = 422 if why or form.errors else 200
    return render(request, "breeding/crosses/optimum/best.html", shown, status=status)
