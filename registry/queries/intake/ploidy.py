"""How many chromosome sets fish were found to have: by the latest measurement that stands."""

from collections.abc import Iterable

from registry.models import PloidyFound
from registry.queries.chunks import chunks
from registry.rules.known import KnownFish


def sets_of(fish: Iterable[int]) -> dict[int, int]:
    """Return the chromosome sets of those fish that were measured, by key."""
    found: dict[int, int] = {}
    for part in chunks(set(fish)):
        rows = PloidyFound.objects.current().filter(fish__in=part).order_by("measured_on", "pk")
        found |= dict(rows.values_list("fish_id", "sets"))
    return found


def learn_ploidy(facts: Iterable[KnownFish]) -> None:
    """Fill in how many chromosome sets these fish were found to have."""
    listed = [one for one in facts if one.pk is not None]
    sets = sets_of(one.pk for one in listed if one.pk is not None)
    for one in listed:
        one.sets = sets.get(one.pk or 0)
