"""The limits of a plan as people read them: what holds, where the default comes from, who set it off and why."""

from dataclasses import dataclass

from django.utils import timezone

from registry.models import CrossPlan, PlanLimit, PlanSignature
from registry.queries.catalogue import figure_keys
from registry.rules.crossing.limits import LimitInForce
from registry.rules.crossing.wishes import Wishes


@dataclass(frozen=True, slots=True)
class LimitTold:
    """A limit as it holds, the source of its default, and the row (with its entry) that set it off, if any."""

    held: LimitInForce
    source: str
    row: PlanLimit | None


def limits_told(plan: CrossPlan, wishes: Wishes) -> list[LimitTold]:
    """Return all limits of a plan in the order of their table."""
    signed = PlanSignature.objects.filter(plan=plan).values_list("signed_on", flat=True).first()
    figures = figure_keys(signed or timezone.localdate())
    rows = {row.key: row for row in PlanLimit.objects.current().filter(plan=plan).select_related("entry")}
    return [
        LimitTold(held, figures[held.limit.policy].source if held.limit.policy in figures else "", rows.get(key))
        for key, held in wishes.limits.all.items()
    ]
