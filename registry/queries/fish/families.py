"""Families: their parents, the crosses that made them, and where their young are."""

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Count, OuterRef, Prefetch, QuerySet, Subquery
from django.db.models.functions import Coalesce

from registry.models import Batch, Cross, Family, FamilyParents, FishDetails, ParentPair, Transfer
from registry.queries.crosses.spawning import males
from registry.queries.known import parent_pairs
from registry.rules.known import Pair


@dataclass
class FamilyLife:
    """All that is on record of a family; `parents` are its parentages from first to present."""

    family: Family
    parents: list[FamilyParents]
    pairs: dict[int, list[ParentPair]]
    crosses: list[Cross]
    batches: list[Batch]
    fish: int = 0
    living: int = 0

    @property
    def current(self) -> FamilyParents | None:
        """Return the parentage that holds now."""
        return next((one for one in self.parents if one.withdrawn_id is None), None)


def pairs_of_family(number: str) -> tuple[str, tuple[Pair, ...]] | None:
    """Return a family's own spelling and its parents; None when there is no such family."""
    family = Family.objects.filter(number__iexact=number).first()
    if family is None:
        return None
    parentage = FamilyParents.objects.current().filter(family=family).values_list("parentage_id", flat=True).first()
    pairs, _ = parent_pairs({parentage} if parentage else set())
    return family.number, pairs.get(parentage or 0, ())


def family_rows() -> QuerySet:
    """Return every family with `parents_now`, `made` (crosses) and `young` (fish registered one by one)."""
    crosses = Cross.objects.current().filter(family=OuterRef("pk")).order_by().values("family")
    fish = FishDetails.objects.current().filter(family=OuterRef("pk")).order_by().values("family")
    first = Cross.objects.current().filter(family=OuterRef("pk")).order_by("spawning__spawned_on")
    parents = FamilyParents.objects.current().select_related("parentage").prefetch_related(
        Prefetch("parentage__pairs", ParentPair.objects.current().select_related("dam", "sire"))
    )  # fmt: skip
    return (
        Family.objects.select_related("stock")
        .prefetch_related(Prefetch("parents", parents, to_attr="parents_now"))
        .annotate(
            made=Coalesce(Subquery(crosses.annotate(n=Count("pk")).values("n")), 0),
            young=Coalesce(Subquery(fish.annotate(n=Count("pk")).values("n")), 0),
            spawned_on=Subquery(first.values("spawning__spawned_on")[:1]),
        )
    )


def family_life(number: str) -> FamilyLife | None:
    """Return the life of the family of that number; None when there is no such family."""
    family = Family.objects.filter(number=number).select_related("stock").first()
    if family is None:
        return None
    parents = list(FamilyParents.objects.filter(family=family).select_related("parentage").order_by("pk"))
    pairs: dict[int, list[ParentPair]] = defaultdict(list)
    held = ParentPair.objects.current().filter(parentage__in=[one.parentage_id for one in parents])
    for pair in held.select_related("dam", "sire"):
        pairs[pair.parentage_id].append(pair)
    crosses = Cross.objects.filter(family=family).select_related("spawning", "dam").prefetch_related(males())
    fish = fish_of(family)
    return FamilyLife(
        family, parents, dict(pairs), list(crosses.order_by("spawning__spawned_on", "pk")), list(_batches(family)),
        fish.count(), fish.filter(left="").count(),
    )  # fmt: skip


def fish_of(family: Family) -> QuerySet:
    """Return the current details of the family's fish."""
    return FishDetails.objects.current().filter(family=family)


def _batches(family: Family) -> QuerySet:
    """Return the batches that eggs of the family were taken into."""
    taken = Transfer.objects.current().filter(from_account__family=family).values("to_account__batch")
    return Batch.objects.filter(pk__in=taken).select_related("account").order_by("opened_on", "pk")
