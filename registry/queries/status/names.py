"""What an entry of the pedigree is called on a page: a fish by its number, sibs by their family."""

from collections.abc import Hashable, Iterable

from registry.models import FamilyParents, Fish, FishDetails
from registry.queries.chunks import chunks


def labels(names: Iterable[Hashable]) -> dict[Hashable, str]:
    """Return fish keys as register numbers, and ("sibs", parentage) as "family 10-1", or by one of the sibs."""
    asked = list(names)
    found: dict[Hashable, str] = {}
    for part in chunks(name for name in asked if isinstance(name, int)):
        found.update(Fish.objects.filter(pk__in=part).values_list("pk", "number"))
    wanted = {name[1] for name in asked if isinstance(name, tuple)}
    for part in chunks(wanted):
        rows = FamilyParents.objects.current().filter(parentage__in=part).order_by("-family__number")
        families = rows.values_list("parentage_id", "family__number")
        found.update({("sibs", parentage): f"family {number}" for parentage, number in families})
    for part in chunks(parentage for parentage in wanted if ("sibs", parentage) not in found):
        rows = FishDetails.objects.current().filter(parentage__in=part).order_by("-fish__number")
        sibs = rows.values_list("parentage_id", "fish__number")
        found.update({("sibs", parentage): f"sibs of {number}" for parentage, number in sibs})
    return found
