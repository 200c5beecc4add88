"""In which state a plan is: draft, under review, signed, superseded by a later amendment, closed."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from django.db.models import Case, CharField, Exists, F, OuterRef, Q, QuerySet, Subquery, Value, When
from django.db.models.functions import Coalesce

from registry.models import CrossPlan, PlanLimit, PlannedCross, PlanReview, PolicyFigure
from registry.rules.crossing.limits import LimitSet, LimitsInForce, limits_in_force
from registry.rules.crossing.plans import CLOSED, DRAFT, REVIEW, SIGNED, SUPERSEDED, PlanFacts
from registry.rules.known import KnownPlan

_STEP = PlanReview.Step


def stated(plans: QuerySet) -> QuerySet:
    """Return the plans with their `state`."""
    steps = PlanReview.objects.current().filter(plan=OuterRef("pk"))
    plans = plans.annotate(
        last_step=Subquery(steps.order_by("-pk").values("step")[:1]),
        is_closed=Exists(steps.filter(step=_STEP.CLOSED)),
        is_superseded=Exists(_later().filter(signature__isnull=False)),
    )
    return plans.annotate(
        state=Case(
            When(is_closed=True, then=Value(CLOSED)),
            When(is_superseded=True, then=Value(SUPERSEDED)),
            When(signature__isnull=False, then=Value(SIGNED)),
            When(last_step=_STEP.SUBMITTED, then=Value(REVIEW)),
            default=Value(DRAFT),
            output_field=CharField(),
        )
    )


def standing_plans() -> QuerySet:
    """Return the plans that were signed and not superseded, closed or not: what crosses are made by and judged by."""
    signed = CrossPlan.objects.current().filter(signature__isnull=False, signature__withdrawn__isnull=True)
    return signed.filter(~Exists(_later().filter(signature__isnull=False)))


def plans_in_force() -> QuerySet:
    """Return the standing plans that are not closed: what is still to be made."""
    closed = PlanReview.objects.current().filter(plan=OuterRef("pk"), step=_STEP.CLOSED)
    return standing_plans().filter(~Exists(closed))


def signed_plans(stock: str | None = None, season: int | None = None) -> dict[tuple[str, int], list[KnownPlan]]:
    """Return the standing plans by stock and season, with their pairs: all of them, or one stock's of a season."""
    plans = standing_plans()
    if stock is not None:
        plans = plans.filter(stock__name=stock, season=season)
    pairs: dict[int, dict[tuple[str, str], Decimal]] = defaultdict(dict)
    rows = PlannedCross.objects.current().filter(plan__in=plans)
    for plan, dam, sire, kinship in rows.values_list("plan_id", "dam__number", "sire__number", "kinship"):
        pairs[plan][dam, sire] = kinship
    found: dict[tuple[str, int], list[KnownPlan]] = defaultdict(list)
    named = plans.order_by("number").values_list("pk", "number", "stock__name", "season", "signature__signed_on")
    limits = _limits_of({key: signed_on for key, *_, signed_on in named})
    for key, number, of_stock, year, signed_on in named:
        found[of_stock, year].append(KnownPlan(number, signed_on, pairs[key], limits[key]))
    return dict(found)


def _limits_of(signed: Mapping[int, date]) -> dict[int, LimitsInForce]:
    """Return the limits in force in plans by key, with the policy's figures of the day on which each was signed."""
    rows: dict[int, list[LimitSet]] = defaultdict(list)
    set_off = PlanLimit.objects.current().filter(plan__in=list(signed))
    for key, limit, value, reason in set_off.values_list("plan_id", "key", "value", "reason") if signed else ():
        rows[key].append(LimitSet(plan="", key=limit, value=value, reason=reason))
    figures = PolicyFigure.objects.current().order_by("in_force_from") if signed else PolicyFigure.objects.none()
    told = list(figures.values_list("key", "value", "in_force_from"))
    return {
        key: limits_in_force({name: value for name, value, since in told if since <= day}, rows[key])
        for key, day in signed.items()
    }


def facts_of(plan: CrossPlan) -> PlanFacts:
    """Return a plan as rules know it."""
    found = stated(CrossPlan.objects.filter(pk=plan.pk)).get()
    chain = stated(CrossPlan.objects.current().filter(amends=found.amends_id or found.pk))
    chain = chain.select_related("signature").order_by("amendment")
    later = [one for one in chain if one.amendment > (found.amendment or 0)]
    signed = [one.number for one in later if one.state in (SIGNED, CLOSED, SUPERSEDED) and hasattr(one, "signature")]
    being_drafted = [one.number for one in later if one.state in (DRAFT, REVIEW)]
    return PlanFacts(
        found.number, found.state, signed[-1] if signed else "", being_drafted[-1] if being_drafted else ""
    )


def last_review(plan: CrossPlan) -> PlanReview | None:
    """Return the last step of a plan's way, apart from its signature."""
    return PlanReview.objects.current().filter(plan=plan).select_related("entry").order_by("-pk").first()


def chain_of(plan: CrossPlan) -> list[CrossPlan]:
    """Return the first issue of a plan and its amendments, each with its state."""
    first = plan.amends_id or plan.pk
    chain = stated(CrossPlan.objects.current().filter(Q(pk=first) | Q(amends=first)))
    return list(chain.select_related("signature__user", "entry").order_by(F("amendment").asc(nulls_first=True)))


def _later() -> QuerySet:
    """Return, for rows of plans, the later amendments of the same plan."""
    return CrossPlan.objects.current().filter(
        amends=Coalesce(OuterRef("amends"), OuterRef("pk")), amendment__gt=Coalesce(OuterRef("amendment"), 0)
    )
