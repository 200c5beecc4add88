"""Milt lots: what is left of them."""

from django.db.models import Sum

from registry.models import MiltLot, MiltUse


def doses_left(lot: MiltLot) -> int:
    """Return how many doses of a lot have not been taken out."""
    used = MiltUse.objects.current().filter(lot=lot).aggregate(total=Sum("doses"))["total"]
    return lot.doses - (used or 0)
