"""Cross plans as lists and pages show them."""

from collections.abc import Sequence

from django.db.models import Avg, Count, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce

from registry.models import CrossPlan, FishDetails, PlannedCross, Stock
from registry.queries.crosses.made import made_pairs
from registry.queries.crosses.states import stated
from registry.rules.crossing.plans import DRAFT


def plans() -> QuerySet:
    """Return all plans with stock, signature, number of pairs, their mean kinship, and how many pairs were made."""
    pairs = PlannedCross.objects.current().filter(plan=OuterRef("pk")).order_by().values("plan")
    made = pairs.filter(made_pairs())
    return stated(
        CrossPlan.objects.current()
        .select_related("stock__species", "signature__user", "entry")
        .annotate(
            pair_count=Coalesce(Subquery(pairs.annotate(n=Count("pk")).values("n")), 0),
            mean_kinship=Subquery(pairs.annotate(mean=Avg("kinship")).values("mean")),
            made_count=Coalesce(Subquery(made.annotate(n=Count("pk")).values("n")), 0),
        )
    )


def pairs_of(plan: CrossPlan) -> QuerySet:
    """Return the pairs that stand in a plan, least kinship first."""
    rows = PlannedCross.objects.current().filter(plan=plan).select_related("dam", "sire")
    return rows.order_by("kinship", "dam__number", "sire__number")


def only_milt_left(males: Sequence[int]) -> set[int]:
    """Return those of the males that have left, so that only frozen milt stands for them."""
    gone = FishDetails.objects.current().filter(fish__in=males).exclude(left="")
    return set(gone.values_list("fish_id", flat=True))


def drafts(stock: Stock, season: int) -> list[str]:
    """Return the numbers of the drafts of a stock and season."""
    open_ones = stated(CrossPlan.objects.current().filter(stock=stock, season=season)).filter(state=DRAFT)
    return list(open_ones.order_by("number").values_list("number", flat=True))


def free_plan_number(season: int) -> str:
    """Return the first free plan number of a season: 2026-P1, 2026-P2 …"""
    stem = f"{season}-P"
    used = set(CrossPlan.objects.filter(number__istartswith=stem).values_list("number", flat=True))
    number = 1
    while f"{stem}{number}" in used:
        number += 1
    return f"{stem}{number}"
