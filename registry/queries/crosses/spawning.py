"""Spawning nights as pages show them: a fixed number of queries whatever the number of crosses."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Count, F, IntegerField, OuterRef, Prefetch, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from registry.models import Cross, CrossSire, Family, Induction, OffPlanSeen, Spawning, Tag
from registry.rules.crossing.spawning import CrossMade


@dataclass(frozen=True, slots=True)
class MadeCross:
    """A cross as it is shown: the row, its males, the eggs taken and those fertilised, as far as they were measured."""

    row: Cross
    males: Sequence[CrossSire]
    eggs: int | None
    fertilised: int | None


def spawnings() -> QuerySet:
    """Return all spawnings with their stock and the numbers of crosses, females and males."""
    crosses = Cross.objects.current().filter(spawning=OuterRef("pk")).order_by().values("spawning")
    males = CrossSire.objects.current().filter(cross__spawning=OuterRef("pk"), cross__withdrawn__isnull=True)
    males = males.order_by().values("cross__spawning")
    return (
        Spawning.objects.current()
        .select_related("stock")
        .annotate(
            cross_count=_count(crosses.annotate(n=Count("pk"))),
            female_count=_count(crosses.annotate(n=Count("dam", distinct=True))),
            male_count=_count(males.annotate(n=Count("sire", distinct=True))),
        )
    )


def crosses_of(spawning: Spawning) -> list[MadeCross]:
    """Return the crosses of a night in the order in which they were entered."""
    sires = CrossSire.objects.current().select_related("sire", "milt_lot").order_by("-share", "pk")
    rows = Cross.objects.current().filter(spawning=spawning).select_related("dam", "family", "planned__plan")
    seen = OffPlanSeen.objects.current().select_related("entry")
    rows = rows.prefetch_related(
        Prefetch("sires", queryset=sires, to_attr="males"), Prefetch("seen_off_plan", queryset=seen, to_attr="seen")
    )
    rows = rows.order_by("pk")
    return [MadeCross(row, row.males, *eggs_of(row)) for row in rows]


def males() -> Prefetch:
    """Return what fetches the males of crosses, also of crosses that were taken back together with them."""
    standing = Q(withdrawn__isnull=True) | Q(withdrawn=F("cross__withdrawn"))
    return Prefetch("sires", queryset=CrossSire.objects.filter(standing).select_related("sire"))


def inductions_of(spawning: Spawning) -> QuerySet:
    """Return the hormones given for a night, in order of time."""
    return Induction.objects.current().filter(spawning=spawning).select_related("fish").order_by("given_at", "pk")


def open_codes(fish: Sequence[int]) -> dict[int, str]:
    """Return the first open tag code of each fish, by key."""
    tags = Tag.objects.current().filter(fish__in=fish, ended_on__isnull=True).order_by("-attached_on", "-pk")
    return dict(tags.values_list("fish_id", "code"))


def eggs_of(cross: Cross | CrossMade) -> tuple[int | None, int | None]:
    """Return the eggs taken (mass in g × eggs per g) and those fertilised (× per cent), rounded only here."""
    if cross.egg_mass_g is None or cross.eggs_per_g is None:
        return None, None
    eggs = cross.egg_mass_g * cross.eggs_per_g
    if cross.fertilisation_percent is None:
        return round(eggs), None
    return round(eggs), round(eggs * cross.fertilisation_percent / Decimal(100))


def free_family_numbers(night: date, count: int) -> list[str]:
    """Return the next family numbers of the year that are free, after the highest one in use: 26-03, 26-04 …"""
    stem = f"{night:%y}-"
    numbers = Family.objects.filter(number__startswith=stem).values_list("number", flat=True)
    used = [int(found[1]) for n in numbers if (found := re.fullmatch(rf"{stem}(\d{{1,6}})", n))]
    first = max(used, default=0) + 1
    return [f"{stem}{n:02d}" for n in range(first, first + count)]


def _count(rows: QuerySet) -> Coalesce:
    return Coalesce(Subquery(rows.values("n"), output_field=IntegerField()), 0)
