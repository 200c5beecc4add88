"""What the register holds of two entries that may be one fish."""

from collections.abc import Iterator
from datetime import date

from django.db.models import Q, QuerySet
from django.utils import timezone

from registry.models import (
    Check,
    Confidence,
    Cross,
    CrossSire,
    FishDetails,
    HeldApart,
    Induction,
    MiltLot,
    Origin,
    ParentPair,
    PlannedCross,
    Quarantine,
    Recapture,
    Sex,
    Stay,
    Tag,
)
from registry.queries.fish.ancestry import ancestors, parts_played
from registry.queries.known import day_of, fish_as_known, parent_pairs
from registry.rules.days import Period, spoken
from registry.rules.identity.joining import Between, Entered


def entered(details: FishDetails) -> Entered:
    """Return what is known of the fish of these current details."""
    fish = details.fish_id
    stays = Stay.objects.current().filter(fish=fish).select_related("unit").order_by("since", "pk")
    return Entered(
        fish_as_known(details),
        tuple(sorted(_seen(fish))),
        tuple(Period(stay.unit.name, stay.since, stay.until) for stay in stays),
        tuple(parts_played(fish)),
        {name: words for name, words in _facts(details) if words},
        _quarantine(fish),
    )


def _quarantine(fish: int) -> Period | None:
    row = Quarantine.objects.current().filter(fish=fish, until=None).select_related("unit").first()
    return Period(row.unit.name, row.since) if row else None


def _facts(row: FishDetails) -> Iterator[tuple[str, str]]:
    caught = day_of(row.caught_on, row.caught_precision)
    species = row.species.scientific_name if row.species else ""
    yield "species", f"{species} ({Confidence(row.confidence).label.lower()})" if species else ""
    yield "stock", row.stock.name if row.stock else ""
    yield "sex", Sex(row.sex).label.lower() if row.sex != Sex.UNKNOWN else ""
    yield "origin", Origin(row.origin).label.lower() if row.origin != Origin.UNKNOWN else ""
    yield "caught", f"{caught} {row.caught_at}".strip() if caught or row.caught_at else ""
    hatched = day_of(row.hatched_on, row.hatched_precision)
    yield "hatched", str(hatched) if hatched else ""
    yield "parents", _parents(row)


def _parents(row: FishDetails) -> str:
    if row.parentage_id is None:
        return ""
    pairs = parent_pairs({row.parentage_id})[0][row.parentage_id]
    said = ", ".join(f"{pair.dam or 'unknown'} × {pair.sire or 'unknown'}" for pair in pairs)
    return f"{said} (family {row.family})" if row.family else said


def _seen(fish: int) -> Iterator[tuple[date, str]]:
    """Yield the days on which the fish was in somebody's hands, alive."""
    yield from _days(Check.objects.current().filter(fish=fish), "checked_on", "checked")
    tags = Tag.objects.current().filter(fish=fish, attached_known=True)
    yield from _days(tags, "attached_on", "tagged")
    yield from _days(Stay.objects.current().filter(fish=fish), "since", "put into its unit")
    yield from _days(Cross.objects.current().filter(dam=fish), "spawning__spawned_on", "stripped")
    milt = CrossSire.objects.current().filter(sire=fish, frozen_milt=False, milt_lot=None, cross__withdrawn=None)
    yield from _days(milt, "cross__spawning__spawned_on", "stripped")
    yield from _days(MiltLot.objects.current().filter(male=fish), "collected_on", "stripped")
    yield from _days(Recapture.objects.current().filter(fish=fish, alive=True), "recaptured_on", "recaptured")
    caught = FishDetails.objects.current().filter(fish=fish, caught_on__isnull=False, caught_precision="day")
    yield from _days(caught, "caught_on", "caught")
    for moment in Induction.objects.current().filter(fish=fish).values_list("given_at", flat=True):
        yield timezone.localdate(moment), "induced"


def _days(rows: QuerySet, column: str, what: str) -> Iterator[tuple[date, str]]:
    return ((day, what) for day in rows.values_list(column, flat=True) if day)


def between(kept: FishDetails, other: FishDetails) -> Between:
    """Return what the register holds of the two together."""
    one, two = kept.fish_id, other.fish_id
    paired = Q(dam=one, sire=two) | Q(dam=two, sire=one)
    families = {pair.parentage_id for pair in ParentPair.objects.current().filter(paired)}
    crossed = Q(cross__dam=one, sire=two) | Q(cross__dam=two, sire=one)
    made = CrossSire.objects.current().filter(crossed, cross__withdrawn=None)
    numbers = set(made.values_list("cross__family__number", flat=True))
    named = FishDetails.objects.current().filter(parentage__in=families, family__isnull=False)
    numbers |= set(named.values_list("family__number", flat=True))
    young = {"young of both"} if families and not numbers else set()
    return Between(
        families=tuple(sorted(young | {f"family {number}" for number in numbers})),
        plans=tuple(sorted(PlannedCross.objects.current().filter(paired).values_list("plan__number", flat=True))),
        ancestor=_ancestor(kept, other),
        held_apart=tuple(_held_apart(one, two)),
    )


def _ancestor(kept: FishDetails, other: FishDetails) -> str:
    if kept.fish_id in ancestors({other.fish_id}):
        return kept.fish.number
    return other.fish.number if other.fish_id in ancestors({kept.fish_id}) else ""


def _held_apart(one: int, two: int) -> Iterator[str]:
    both = Q(fish=one, candidate=two) | Q(fish=two, candidate=one)
    for row in HeldApart.objects.current().filter(both).select_related("entry"):
        yield f"on {spoken(timezone.localdate(row.entry.entered_at))}, though {row.evidence}"
