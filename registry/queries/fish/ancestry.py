"""Ancestors and descendants by keys: breadth-first, one query a generation."""

from collections.abc import Iterable

from django.db.models import Max, Min

from registry.models import Cross, CrossSire, FishDetails, ParentPair
from registry.queries.chunks import chunks
from registry.rules.days import Day
from registry.rules.parents import Part, crossed_by


def parents_of(fish: Iterable[int]) -> list[tuple[int, int | None, int | None, float]]:
    """Return (fish, dam, sire, probability) rows of the current parentage of each fish that has one."""
    rows: list[tuple[int, int | None, int | None, float]] = []
    for part in chunks(fish):
        found = FishDetails.objects.current().filter(fish__in=part, parentage__pairs__withdrawn__isnull=True)
        pairs = found.exclude(parentage=None).values_list(
            "fish_id", "parentage__pairs__dam", "parentage__pairs__sire", "parentage__pairs__probability"
        )
        rows += [(one, dam, sire, float(probability)) for one, dam, sire, probability in pairs]
    return rows


def parts_played(fish: int) -> list[Part]:
    """Return in which crosses a fish took part, and which young without a cross on record are its own."""
    crosses = Cross.objects.current().filter(dam=fish).values_list("spawning__spawned_on", "family__number")
    parts = [Part("dam", Day(day), f"family {family}") for day, family in crosses]
    as_sire = CrossSire.objects.current().filter(sire=fish, cross__withdrawn__isnull=True)
    milt = as_sire.values_list("cross__spawning__spawned_on", "cross__family__number", "frozen_milt")
    parts += [Part("sire", Day(day), f"family {family}", frozen) for day, family, frozen in milt]
    told = (
        FishDetails.objects.current().filter(hatched_on__isnull=False).exclude(family__crosses__withdrawn__isnull=True)
    )
    for role in ("dam", "sire"):
        own = ParentPair.objects.current().filter(**{role: fish})
        born = told.filter(parentage__in=own.values("parentage")).aggregate(
            first=Min("hatched_on"), last=Max("hatched_on")
        )
        # Without its cross on record nobody knows whether the milt was frozen.
        days = {crossed_by(Day(day)) for day in (born["first"], born["last"]) if day}
        parts += [Part(role, day, "young of a cross", frozen_milt=role == "sire") for day in days]
    return parts


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
