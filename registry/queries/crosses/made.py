"""Which planned pairs were made, by dam, sire and season: a pooled cross counts for each of its pairs."""

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import Exists, OuterRef, Q, QuerySet

from registry.models import CrossPlan, CrossSire, PlannedCross
from registry.queries.chunks import chunks


def made_pairs() -> Exists:
    """Return, for rows of planned crosses, whether a night of the plan's season crossed the two."""
    pair = {"cross__dam": OuterRef("dam"), "sire": OuterRef("sire")}
    return Exists(makings().filter(**pair, cross__spawning__spawned_on__year=OuterRef("plan__season")))


def made_of(plan: CrossPlan, pairs: Iterable[PlannedCross]) -> dict[int, list[CrossSire]]:
    """Return what was made of a plan's pairs, the cross by its male, by the key of the planned cross."""
    wanted = {(pair.dam_id, pair.sire_id): pair.pk for pair in pairs}
    rows = makings().filter(cross__spawning__spawned_on__year=plan.season, cross__dam__in={dam for dam, _ in wanted})
    found: dict[int, list[CrossSire]] = defaultdict(list)
    for row in rows.select_related("cross__spawning", "cross__family").order_by("cross_id"):
        if (row.cross.dam_id, row.sire_id) in wanted:
            found[wanted[row.cross.dam_id, row.sire_id]].append(row)
    return found


def crossed_years(fish: Iterable[int]) -> dict[tuple[str, str], set[int]]:
    """Return in which years these fish were crossed, by register number of dam and sire."""
    found: dict[tuple[str, str], set[int]] = defaultdict(set)
    for part in chunks(fish):
        rows = makings().filter(Q(cross__dam__in=part) | Q(sire__in=part))
        for dam, sire, year in rows.values_list(
            "cross__dam__number", "sire__number", "cross__spawning__spawned_on__year"
        ):
            found[dam, sire].add(year)
    return dict(found)


def makings() -> QuerySet[CrossSire]:
    """Return the males of standing crosses."""
    return CrossSire.objects.current().filter(cross__withdrawn__isnull=True)
