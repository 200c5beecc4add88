"""What the pages of one plan share: the plan by the number in the address."""

from typing import Any

from django.shortcuts import get_object_or_404

from registry.models import CrossPlan
from registry.queries.crosses.states import stated


def plan_or_404(number: str) -> CrossPlan:
    """Return the plan of that number with its stock and its `state`."""
    plan: CrossPlan = get_object_or_404(
        stated(CrossPlan.objects.current()).select_related("stock__species", "entry"), number=number
    )
    return plan


def head(plan: CrossPlan, here: str) -> dict[str, Any]:
    """Return what the head of a page of a plan shows; `here` names the page."""
    return {"plan": plan, "here": here}
