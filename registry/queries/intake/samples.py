"""Samples of fish: whose a number is, and all that were taken of one fish."""

from collections.abc import Iterable

from django.db.models import QuerySet

from registry.models import FishDetails, TissueSample
from registry.rules.known import fold


def bearers_of(numbers: Iterable[str]) -> dict[str, str]:
    """Return which fish each sample number is on record of, by the number with its case apart."""
    listed = list(numbers)
    if not listed:
        return {}
    older = FishDetails.objects.current().filter(tissue_sample__in=listed)
    found = {fold(number): fish for number, fish in older.values_list("tissue_sample", "fish__number")}
    rows = TissueSample.objects.current().filter(label__in=listed)
    return found | {fold(number): fish for number, fish in rows.values_list("label", "fish__number")}


def samples_of(fish: int) -> QuerySet:
    """Return the samples of a fish, those taken back among them, in order of taking."""
    return TissueSample.objects.filter(fish=fish).prefetch_related("sendings").order_by("taken_on", "pk")
