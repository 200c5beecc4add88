"""What is asked of a plan: its terms, the limits in force, and the geneticist's word on fish and pairs."""

from collections.abc import Iterable
from typing import Any

from django.utils import timezone

from registry.models import CrossPlan, PlanFish, PlanLimit, PlanPair, PlanSignature, PlanTerms
from registry.queries.known import policy
from registry.rules.crossing.limits import LimitSet, limits_in_force
from registry.rules.crossing.wishes import FishStand, PairStand, TermsSet, Wishes


def wishes_of(plan: CrossPlan) -> Wishes:
    """Return all that a plan is asked for. Limits not set off have the policy's figures of today, or of the signature.

    A fixed number of queries, whatever the plan holds.
    """
    signed = PlanSignature.objects.filter(plan=plan).values_list("signed_on", flat=True).first()
    figures = policy(signed or timezone.localdate())
    terms = list(PlanTerms.objects.filter(plan=plan))
    limits = list(PlanLimit.objects.filter(plan=plan))
    fish = list(PlanFish.objects.filter(plan=plan).select_related("fish"))
    pairs = list(PlanPair.objects.filter(plan=plan).select_related("dam", "sire"))
    set_off = [LimitSet(plan=plan.number, key=row.key, value=row.value, reason=row.reason) for row in _current(limits)]
    asked = [_terms(plan, row) for row in _current(terms)]
    return Wishes(
        terms=asked[0] if asked else TermsSet(plan=plan.number, crosses=int(figures.get("plan_crosses", 1))),
        limits=limits_in_force(figures, set_off),
        fish={row.fish.number: _fish_stand(plan, row) for row in _current(fish)},
        pairs={(row.dam.number, row.sire.number): _pair_stand(plan, row) for row in _current(pairs)},
        changed=max((max(row.entry_id, row.withdrawn_id or 0) for row in (*terms, *limits, *fish, *pairs)), default=0),
    )


def _current(rows: Iterable[Any]) -> list[Any]:
    return [row for row in rows if row.withdrawn_id is None]


def _terms(plan: CrossPlan, row: PlanTerms) -> TermsSet:
    return TermsSet(
        plan=plan.number,
        crosses=row.crosses,
        scheme=row.scheme,
        mates=row.mates,
        price=row.price,
        count_living=row.count_living,
        weight_of_young=row.weight_of_young,
        count_made=row.count_made,
    )


def _fish_stand(plan: CrossPlan, row: PlanFish) -> FishStand:
    return FishStand(plan=plan.number, fish=row.fish.number, stand=row.stand, most=row.most, reason=row.reason)


def _pair_stand(plan: CrossPlan, row: PlanPair) -> PairStand:
    return PairStand(plan=plan.number, dam=row.dam.number, sire=row.sire.number, stand=row.stand, reason=row.reason)
