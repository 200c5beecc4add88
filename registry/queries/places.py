"""Holding units, who is in them, and how warm their water is."""

from django.db.models import Count, OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from registry.models import FishDetails, HoldingUnit, QuarantineUse, Stay, Temperature, WaterSystem

READINGS = 14


def unit_rows() -> QuerySet:
    """Return every unit with `fish`, `batches` and `young` (fish in those batches) that are in it now.

    `serves` is the day since which it serves for quarantine, if it does.
    """
    serving = QuarantineUse.objects.current().filter(unit=OuterRef("pk"), until__isnull=True).values("since")
    stays = Stay.objects.current().filter(unit=OuterRef("pk"), until__isnull=True).order_by().values("unit")
    young = stays.filter(batch__isnull=False).annotate(n=Sum("batch__account__balance")).values("n")
    return (
        HoldingUnit.objects.current()
        .select_related("facility", "water_system")
        .annotate(
            fish=Coalesce(Subquery(stays.annotate(n=Count("fish")).values("n")), 0),
            batches=Coalesce(
                Subquery(stays.annotate(n=Count("batch", filter=Q(batch__account__balance__gt=0))).values("n")), 0
            ),
            young=Coalesce(Subquery(young), 0),
            serves=Subquery(serving[:1]),
        )
    )


def fish_in(unit: HoldingUnit) -> QuerySet:
    """Return the current details of the fish in a unit, with `since`."""
    stays = Stay.objects.current().filter(unit=unit, until__isnull=True, fish__isnull=False)
    here = stays.filter(fish=OuterRef("fish")).values("since")[:1]
    rows = FishDetails.objects.current().filter(fish__in=stays.values("fish"))
    return rows.select_related("fish", "species", "stock").annotate(since=Subquery(here)).order_by("fish__number")


def batches_in(unit: HoldingUnit) -> QuerySet:
    """Return the stays of the batches in a unit that hold fish."""
    stays = Stay.objects.current().filter(unit=unit, until__isnull=True, batch__account__balance__gt=0)
    return stays.select_related("batch__account").order_by("batch__number")


def last_temperatures(water: WaterSystem | None) -> QuerySet:
    """Return the last readings of a water system, newest first."""
    return Temperature.objects.current().filter(water_system=water).order_by("-read_at", "-pk")[:READINGS]


def water_systems() -> list[tuple[str, str]]:
    """Return (key, name with facility) of every water system."""
    rows = WaterSystem.objects.current().select_related("facility").order_by("facility__name", "name")
    return [(str(water.pk), f"{water.name}, {water.facility}") for water in rows]
