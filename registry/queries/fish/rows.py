"""Fish as lists show them: what is known now, with the active tag and the unit."""

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery

from registry.models import FishDetails, HoldingUnit, Stay, Tag

LIVING, LEFT = "living", "left"


def fish_rows() -> QuerySet:
    """Return the current details of every fish, with `code` (its newest active tag) and `unit` (where it is)."""
    tags = Tag.objects.current().filter(fish=OuterRef("fish"), ended_on__isnull=True)
    stays = Stay.objects.current().filter(fish=OuterRef("fish"), until__isnull=True)
    return (
        FishDetails.objects.current()
        .select_related("fish", "species", "stock", "family")
        .annotate(
            code=Subquery(tags.order_by("-attached_on", "-pk").values("code")[:1]),
            unit=Subquery(stays.values("unit__name")[:1]),
        )
    )


def bearing(rows: QuerySet, text: str) -> QuerySet:
    """Return the fish that bear or bore a code with these characters in it, however they are grouped."""
    bare = "".join(c for c in text if c.isalnum())
    return rows.filter(Exists(Tag.objects.current().filter(fish=OuterRef("fish"), code__icontains=bare)))


def in_unit(rows: QuerySet, unit: HoldingUnit) -> QuerySet:
    """Return the fish that are in the unit now."""
    return rows.filter(Exists(Stay.objects.current().filter(fish=OuterRef("fish"), until__isnull=True, unit=unit)))


def of_status(rows: QuerySet, status: str) -> QuerySet:
    """Return the living fish, those that left in any way, or those that left in one way."""
    chosen: dict[str, Q] = {LIVING: Q(left=""), LEFT: ~Q(left="")}
    return rows.filter(chosen.get(status, Q(left=status)))
