"""Two plans of a stock side by side: which crosses are in both, which in one only, and the figures of each."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from breeding.pages.crosses.of_plan import head, plan_or_404
from breeding.planning.advice.set_figures import figures_of_set
from breeding.planning.advice.told import per_cent
from breeding.planning.reasons import figure
from registry.models import CrossPlan, PlannedCross
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.plans import pairs_of, plans
from registry.queries.pedigree import pedigree_of
from registry.web.entry_view import EntryForm
from registry.web.links import address

Names = tuple[str, str]


class OtherPlanForm(EntryForm):
    """The plan to compare with."""

    other = forms.ChoiceField(label="With plan")

    def __init__(self, *args: Any, others: list[CrossPlan], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        told = [(one.number, f"{one.number}, season {one.season}, {one.state}") for one in others]
        self.fields["other"].choices = told


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two plans with the figures of its crosses by today's pedigree; none for an empty plan."""

    plan: CrossPlan
    address: str
    crosses: dict[Names, PlannedCross]
    told: dict[str, str]
    diversity: float = 0.0


def compare(request: HttpRequest, number: str) -> HttpResponse:
    """Show a plan beside another one of the same stock."""
    plan = plan_or_404(number)
    others = list(plans().filter(stock=plan.stock).exclude(pk=plan.pk).order_by("-season", "-pk"))
    first = next((one for one in others if one.pair_count), others[0] if others else None)
    asked = {"other": request.GET.get("other") or (first.number if first else "")}
    form = OtherPlanForm(asked, others=others)
    shown = head(plan, "plan_compare") | {"title": f"Plan {plan.number} beside another", "form": form, "others": others}
    if others and form.is_valid():
        other = next(one for one in others if one.number == form.cleaned_data["other"])
        shown |= _side_by_side(_side(plan), _side(other))
    status = 422 if others and form.errors else 200
    return render(request, "breeding/crosses/compare.html", shown, status=status)


def _side(plan: CrossPlan) -> Side:
    crosses = {(row.dam.number, row.sire.number): row for row in pairs_of(plan)}
    where = address("plan", plan.number)
    if not crosses:
        return Side(plan, where, {}, {"Crosses": "none"})
    keys = {pair: (row.dam_id, row.sire_id) for pair, row in crosses.items()}
    pedigree = pedigree_of({key for pair in keys.values() for key in pair}, *inheritance_of(plan.stock))
    figures = figures_of_set(pedigree, dict.fromkeys(keys.values(), 1.0))
    told = {
        "Crosses": str(len(crosses)),
        "Females": str(figures.dams),
        "Males": str(figures.sires),
        "Mean inbreeding of the young": figure(figures.mean_inbreeding),
    }
    return Side(plan, where, crosses, told, figures.gene_diversity)


def _side_by_side(one: Side, other: Side) -> dict[str, Any]:
    diversity = per_cent(one.diversity, other.diversity)
    names = list(one.told if len(one.told) > len(other.told) else other.told)
    rows = [(name, one.told.get(name, "–"), other.told.get(name, "–")) for name in names]
    shares = [told if side.crosses else "–" for told, side in zip(diversity, (one, other), strict=True)]
    return {
        "sides": (one, other),
        "figures": [("Gene diversity of the young", *shares), *rows],
        "both": sorted(set(one.crosses) & set(other.crosses)),
        "only_one": sorted(set(one.crosses) - set(other.crosses)),
        "only_other": sorted(set(other.crosses) - set(one.crosses)),
    }
