"""What the pages of one plan share: the plan by the number in the address, and its tabs."""

from typing import Any

from django.shortcuts import get_object_or_404

from registry.models import CrossPlan
from registry.queries.crosses.states import stated
from registry.web.links import address

# What the pages of a plan are called on its tabs, by the names of their addresses.
TABS = (
    ("plan", "Crosses"),
    ("plan_limits", "Limits"),
    ("plan_candidates", "Fish"),
    ("plan_best", "Best plan"),
    ("plan_pairs", "Pairs"),
    ("plan_compare", "Compare"),
)


def plan_or_404(number: str) -> CrossPlan:
    """Return the plan of that number with its stock and its `state`."""
    plan: CrossPlan = get_object_or_404(
        stated(CrossPlan.objects.current()).select_related("stock__species", "entry"), number=number
    )
    return plan


def head(plan: CrossPlan, here: str) -> dict[str, Any]:
    """Return what the head of a page of a plan shows; `here` names the page."""
    tabs = [{"address": address(page, plan.number), "label": label, "here": page == here} for page, label in TABS]
    return {"plan": plan, "tabs": [tab for tab in tabs if tab["address"]]}
