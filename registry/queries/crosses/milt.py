"""Milt lots: what is left of them."""

from django.db.models import F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from registry.models import MiltLot, MiltUse


def doses_left(lot: MiltLot) -> int:
    """Return how many doses of a lot have not been taken out."""
    used = MiltUse.objects.current().filter(lot=lot).aggregate(total=Sum("doses"))["total"]
    return lot.doses - (used or 0)


def lot_rows() -> QuerySet:
    """Return every lot with `used` and `remaining` doses."""
    uses = MiltUse.objects.current().filter(lot=OuterRef("pk")).order_by().values("lot")
    used = Coalesce(Subquery(uses.annotate(total=Sum("doses")).values("total")), 0)
    return MiltLot.objects.current().select_related("male").annotate(used=used, remaining=F("doses") - used)


def uses_of(lot: MiltLot) -> QuerySet:
    """Return what was taken out of a lot, taken-back rows too, in order of happening."""
    return MiltUse.objects.filter(lot=lot).select_related("spawning").order_by("used_on", "pk")
