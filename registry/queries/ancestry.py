"""Ancestors and descendants by keys: breadth-first, one query a generation."""

from collections.abc import Iterable

from registry.models import FishDetails, ParentPair
from registry.queries.known import chunks


def parents_of(fish: Iterable[int]) -> list[tuple[int, int | None, int | None, float]]:
    """Return (fish, dam, sire, probability) rows of the current parentage of each fish that has one."""
    rows: list[tuple[int, int | None, int | None, float]] = []
    for part in chunks(fish):
        found = FishDetails.objects.current().filter(fish__in=part, parentage__isnull=False)
        pairs = found.values_list(
            "fish_id", "parentage__pairs__dam", "parentage__pairs__sire", "parentage__pairs__probability"
        )
        rows += [(one, dam, sire, float(probability)) for one, dam, sire, probability in pairs]
    return rows


def ancestors(fish: Iterable[int]) -> set[int]:
    """Return the keys of all possible ancestors of the fish given, the fish themselves included."""
    found = set(fish)
    new = set(found)
    while new:
        parents = {parent for _, dam, sire, _ in parents_of(new) for parent in (dam, sire) if parent}
        new = parents - found
        found |= new
    return found


def children_of(fish: Iterable[int]) -> list[tuple[int, int]]:
    """Return (parent, child) rows for every fish that may be a child of one of the fish given."""
    rows: list[tuple[int, int]] = []
    for part in chunks(fish):
        for role in ("dam", "sire"):
            pairs = ParentPair.objects.current().filter(
                **{f"{role}__in": part}, parentage__fish__withdrawn__isnull=True
            )
            rows += pairs.exclude(parentage__fish=None).values_list(f"{role}_id", "parentage__fish__fish_id")
    return rows
