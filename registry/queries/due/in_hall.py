"""What is due in the hall: crosses to make, ripe fish, batches to count, fish without a tag."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from django.db.models import Exists, F, OuterRef, Q, Subquery

from registry.models import Account, MiltLot, PlannedCross, Tag, Transfer
from registry.queries.crosses.made import made_pairs
from registry.queries.crosses.states import plans_in_force
from registry.queries.due import Due, Section, living, ripe, section
from registry.queries.known import policy_days
from registry.rules.days import spoken


def crosses_to_make(today: date) -> Section:
    """Crosses of signed plans, of this season or a coming one, that no spawning has made."""
    frozen = MiltLot.objects.current().filter(male=OuterRef("sire"), state=MiltLot.State.FROZEN)
    rows = (
        PlannedCross.objects.current()
        .filter(plan__season__gte=today.year, plan__in=plans_in_force())
        .filter(~made_pairs())
        .filter(Exists(living(fish=OuterRef("dam"))), Exists(living(fish=OuterRef("sire"))) | Exists(frozen))
        .select_related("plan", "dam", "sire")
        .order_by("plan__number", "pk")
    )
    return section(
        "Planned crosses to make",
        "Every cross of the signed plans is made.",
        rows,
        _to_make,
        "plan_list",
    )


def _to_make(row: PlannedCross) -> Due:
    pair = (("dam", row.dam.number), ("sire", row.sire.number))
    return Due(f"♀ {row.dam} × ♂ {row.sire}", "spawning_enter", "", f"plan {row.plan}", pair)


def ripe_fish(today: date) -> Section:
    """Fish whose last check found them ripe, and that have not been stripped since."""
    rows = ripe(today).select_related("fish").order_by("-checked_on", "fish__number")
    return section(
        "Ripe at the last check",
        "No fish is ripe by a check that still counts.",
        rows,
        lambda row: Due(f"Fish {row.fish}", "fish", row.fish.number, f"stage {row.stage}, {spoken(row.checked_on)}"),
        "fish_list",
    )


def batches_to_count(today: date) -> Section:
    """Batches with fish in them that were not counted lately."""
    days = policy_days("census_due_days", today)
    touching = Transfer.objects.current().filter(Q(from_account=OuterRef("pk")) | Q(to_account=OuterRef("pk")))
    counts = touching.filter(event__in=[Transfer.Event.OPEN, Transfer.Event.CENSUS]).order_by("-moved_on")
    rows = (
        Account.objects.filter(kind=Account.Kind.BATCH, balance__gt=0)
        .annotate(counted_on=Subquery(counts.values("moved_on")[:1]))
        .filter(Q(counted_on__isnull=True) | Q(counted_on__lt=today - timedelta(days=days)))
        .select_related("batch")
        .order_by(F("counted_on").asc(nulls_first=True), "batch__number")
    )
    return section(
        "Batches to count",
        f"Every batch was counted within {days} days.",
        rows,
        lambda row: Due(f"Batch {row.batch}", "batch", row.batch.number, _counted(row, today)),
        "batch_list",
    )


def fish_without_tag(_today: date) -> Section:
    """Living fish that no code names."""
    open_tags = Tag.objects.current().filter(fish=OuterRef("fish"), ended_on__isnull=True)
    rows = living().filter(~Exists(open_tags)).select_related("fish").order_by("fish__number")
    found = section(
        "Fish without a tag",
        "Every living fish bears a tag.",
        rows,
        lambda row: Due(f"Fish {row.fish}", "fish", row.fish.number),
        "fish_list",
    )
    return replace(found, hint="Read for a second tag; if there is none, tag anew.")


def _counted(account: Any, today: date) -> str:
    if account.counted_on is None:
        return f"{account.balance} fish by the book, never counted"
    return f"{account.balance} fish by the book, no count for {(today - account.counted_on).days} days"
