"""The fish of a plan: who may be used and how often, who is left out and by which limit."""

from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from breeding.pages.crosses.bench import Bench, bench_of
from breeding.pages.crosses.names import name_of
from breeding.pages.crosses.of_plan import head, plan_or_404
from breeding.planning.problem import NO_LIMIT, uses_of
from breeding.planning.reasons import figure
from registry.permissions import PLAN, may
from registry.queries.crosses.candidates import left_out, season_of, why_not
from registry.queries.crosses.season.fish import Looked
from registry.rules.crossing.plans import DRAFT
from registry.rules.crossing.wishes import CHOSEN, IN, LIMITED, OUT, FishStand
from registry.web.links import address
from registry.web.lists import PAGE_SIZES
from registry.web.people import actor

# Of fish that one limit leaves out; a register may hold a hundred thousand of them.
SHOWN = 100

Told = dict[str, Any]


def candidates(request: HttpRequest, number: str) -> HttpResponse:
    """Show the females and males that a plan may use, and the fish that are left out, by limit."""
    bench = bench_of(plan_or_404(number))
    set_fish = ""
    if bench.plan.state == DRAFT and may(actor(request), PLAN):
        set_fish = address("plan_fish", bench.plan.number)
    lines = _lines(bench, set_fish)
    shown = (
        head(bench.plan, "plan_candidates")
        | {
            "title": f"Fish of plan {bench.plan.number}",
            "females": [one for one in lines if one["sex"] == "F"],
            "males": [one for one in lines if one["sex"] == "M"],
            "left_out": _left_out(bench, set_fish),
            "set_fish": set_fish,
            "choose": address("plan_choose", bench.plan.number) if set_fish else "",
            "notes": bench.season.notes,
            "incubators": bench.season.incubators,
        }
        | _not_ready(request, bench, set_fish)
    )
    return render(request, "breeding/crosses/wishes/candidates.html", shown)


def _not_ready(request: HttpRequest, bench: Bench, set_fish: str) -> Told:
    """Return a page of the fish of breeding age that are not ready, each with its reasons."""
    season = season_of(bench.plan.stock, timezone.localdate())
    asked = request.GET.get("per_page", "")
    per_page = int(asked) if asked in {str(size) for size in PAGE_SIZES} else PAGE_SIZES[0]
    paginator = Paginator(left_out(season), per_page)
    page = paginator.get_page(request.GET.get("page"))
    found = why_not(page, season)
    lines = [
        {
            "number": one.number,
            "address": address("fish", one.number),
            "why": one.why_not,
            "set": f"{set_fish}?{urlencode({'fish': one.number, 'stand': IN})}" if set_fish else "",
        }
        for one in found
    ]
    table = {"page": page, "paginator": paginator}
    return {"not_ready": lines, "table": table, "page_sizes": PAGE_SIZES, "per_page": per_page}


def _lines(bench: Bench, set_fish: str) -> list[Told]:
    season, problem = bench.season, bench.problem
    count = len(season.candidates)
    uses, most = [0] * count, [NO_LIMIT] * count
    if problem:
        uses = uses_of(problem, bench.pairs).tolist()
        most = (problem.capacity + problem.fixed_uses).tolist()
    rows = zip(season.candidates.items(), season.mean_kinship.tolist(), uses, most, strict=True)
    lines = []
    for (number, looked), kinship, used, limit in rows:
        eggs = season.eggs.get(number)
        lines.append(
            _about(looked, set_fish)
            | {
                "kinship": figure(kinship),
                "rank": kinship,
                "eggs": eggs,
                "uses": used,
                "most": "any" if limit >= NO_LIMIT else limit,
                "word": _word(bench.wishes.fish.get(number)),
                "reasons": [reason.words for reason in looked.reasons],
            }
        )
    return sorted(lines, key=lambda one: (one["rank"], one["number"]))


def _about(looked: Looked, set_fish: str) -> Told:
    one = looked.candidate
    return {
        "number": one.number,
        "address": address("fish", one.number),
        "sex": one.sex,
        "code": one.code,
        "unit": one.unit,
        "stage": one.stage,
        "checked_on": one.checked_on,
        "left": one.left,
        "doses": one.doses,
        "set": f"{set_fish}?{urlencode({'fish': one.number})}" if set_fish else "",
    }


def _word(stand: FishStand | None) -> str:
    if stand is None:
        return ""
    said = {OUT: "out", IN: "let in", LIMITED: f"{stand.most} at most", CHOSEN: "chosen"}[stand.stand]
    return f"{said}: {stand.reason}"


def _left_out(bench: Bench, set_fish: str) -> list[Told]:
    """Return the fish left out under the first limit that does it, with every reason, those of most fish first."""
    by_limit: dict[str, list[Looked]] = {}
    for one in bench.season.left_out:
        by_limit.setdefault(one.reasons[0].limit, []).append(one)
    found = []
    for limit, fish in sorted(by_limit.items(), key=lambda pair: (-len(pair[1]), pair[0])):
        lines = [
            _about(one, set_fish) | {"why": " ".join(reason.words for reason in one.reasons)} for one in fish[:SHOWN]
        ]
        relax = address("plan_limit", bench.plan.number, limit) if set_fish and limit in bench.wishes.limits.all else ""
        found.append(
            {"name": name_of(limit), "count": len(fish), "more": len(fish) - len(lines), "fish": lines, "relax": relax}
        )
    return found
