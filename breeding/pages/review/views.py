"""The history of a plan, and what became of it."""

from collections.abc import Callable
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from breeding.genetics.errors import PedigreeError
from breeding.planning.advice.set_figures import SetFigures
from breeding.planning.reasons import figure
from registry.models import CrossPlan
from registry.permissions import ENTER, READ_JOURNAL, may
from registry.queries.crosses.history import history_of
from registry.queries.crosses.outcome import Effect, Outcome, effect_of, outcome_of
from registry.queries.crosses.states import chain_of, stated
from registry.rules.crossing.plans import CLOSED, SIGNED
from registry.web.people import actor


@dataclass(frozen=True, slots=True)
class Compared:
    """One figure of what was planned and of what was made."""

    name: str
    planned: str
    made: str
    difference: str = ""


def _share(value: float) -> str:
    return f"{100 * value:.2f} %"


def _untold(_planned: SetFigures, _made: SetFigures) -> str:
    return ""


# Each figure of a set of crosses: its name, how it is said, and how the difference is.
FIGURES: tuple[tuple[str, Callable[[SetFigures], str], Callable[[SetFigures, SetFigures], str]], ...] = (
    ("Females", lambda one: str(one.dams), _untold),
    ("Males", lambda one: str(one.sires), _untold),
    (
        "Gene diversity of the young",
        lambda one: _share(one.gene_diversity),
        lambda planned, made: f"{100 * (made.gene_diversity - planned.gene_diversity):+.2f} percentage points",
    ),
    (
        "Expected mean inbreeding of the young",
        lambda one: figure(one.mean_inbreeding),
        lambda planned, made: f"{made.mean_inbreeding - planned.mean_inbreeding:+.4f}",
    ),
)


def history(request: HttpRequest, number: str) -> HttpResponse:
    """Show every entry about a plan and its amendments, the latest first."""
    plan = _plan(number)
    shown = {
        "title": f"History of plan {plan.number}",
        "plan": plan,
        "chain": chain_of(plan),
        "steps": history_of(plan),
        "may_read": may(actor(request), READ_JOURNAL),
    }
    return render(request, "breeding/review/history.html", shown)


def outcome(request: HttpRequest, number: str) -> HttpResponse:
    """Show what was planned against what was made, and what the season did to the stock."""
    plan, who = _plan(number), actor(request)
    title = f"Outcome of plan {plan.number}"
    try:
        found, effect = outcome_of(plan), effect_of(plan)
    except PedigreeError as error:
        shown = {"title": title, "why": str(error)}
        return render(request, "registry/web/refused.html", shown, status=422)
    shown = {
        "title": title,
        "plan": plan,
        "lines": [(line, figure(float(line.planned.kinship))) for line in found.lines],
        "made": sum(bool(line.made) for line in found.lines),
        "off_plan": found.off_plan,
        "figures": _compared(found),
        "effect": _effect(plan, effect),
        "may_say": plan.state in (SIGNED, CLOSED) and may(who, ENTER),
    }
    return render(request, "breeding/review/outcome.html", shown)


def _plan(number: str) -> CrossPlan:
    plans = stated(CrossPlan.objects.current()).select_related("stock__species", "entry")
    plan: CrossPlan = get_object_or_404(plans, number=number)
    return plan


def _compared(found: Outcome) -> list[Compared]:
    planned, made = found.planned, found.made
    rows = [Compared("Crosses", str(len(found.lines)), str(found.made_crosses))]
    for name, say, tell in FIGURES:
        difference = tell(planned, made) if planned and made else ""
        rows.append(Compared(name, say(planned) if planned else "–", say(made) if made else "–", difference))
    return rows


def _effect(plan: CrossPlan, effect: Effect) -> list[tuple[str, str, str]]:
    """Return each state of the stock: when, how many fish, gene diversity."""
    rows = []
    for when, year in ((f"End of {plan.season - 1}", effect.before), (f"{plan.season}", effect.after)):
        if year:
            rows.append((when, f"{year.count} registered fish", _share(year.gene_diversity)))
    if effect.with_young is not None:
        rows.append(("Today", "with the young in batches", _share(effect.with_young)))
    return rows
