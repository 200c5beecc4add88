"""Permits as rules know them: what each allows and what was done under it."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date

from django.db.models import Q, QuerySet
from django.utils import timezone

from registry.models import Permit, PermitAllowance, PermitDetails, Species, Stock
from registry.queries.papers.use import acts_under, held_today
from registry.rules.known import Known, fold
from registry.rules.papers.acts import Allowance, KnownPermit


def load_permits(found: Known, numbers: Collection[str]) -> None:
    """Note the permits that are named, and whether the register keeps permits at all."""
    asked = {number for number in numbers if number}
    if not asked:
        return
    found.keeps_permits = PermitDetails.objects.current().exists()
    if found.keeps_permits:
        wanted = {spelt for number in asked for spelt in (number, number.upper(), number.lower())}
        for permit in known_permits(current_details().filter(permit__number__in=wanted)):
            found.permits[fold(permit.number)] = permit


def current_details() -> QuerySet[PermitDetails]:
    """Return what each permit says as it stands."""
    return PermitDetails.objects.current().select_related("permit", "entry")


def known_permits(rows: Iterable[PermitDetails]) -> list[KnownPermit]:
    """Return permits with their lines and every act under them; as many queries for one permit as for a hundred."""
    listed = list(rows)
    if not listed:
        return []
    lines = lines_of({row.pk for row in listed})
    acts = acts_under([row.permit.number for row in listed])
    in_force = {row.pk for row in listed if _holds_today(row) and any(line.act == "holding" for line in lines[row.pk])}
    held = tuple(held_today()) if in_force else ()
    return [
        KnownPermit(
            row.permit.number,
            row.valid_from,
            row.valid_until,
            tuple(lines[row.pk]),
            tuple(place.strip() for place in row.places.splitlines() if place.strip()),
            acts.get(row.permit.number.casefold(), []),
            held if row.pk in in_force else (),
        )
        for row in listed
    ]


def _holds_today(row: PermitDetails) -> bool:
    today = timezone.localdate()
    return row.valid_from <= today and (row.valid_until is None or today <= row.valid_until)


def lines_of(details: set[int]) -> dict[int, list[Allowance]]:
    """Return the lines of what permits say, by the key of their details, in the order in which they were entered."""
    found: dict[int, list[Allowance]] = defaultdict(list)
    rows = PermitAllowance.objects.filter(details__in=details).order_by("pk")
    columns = ("details", "act", "species__key", "stock__name", "most", "specimen")
    for key, act, species, stock, most, specimen in rows.values_list(*columns):
        found[key].append(Allowance(act, species or "", stock or "", most, specimen))
    return found


def earlier_details(permit: Permit) -> QuerySet[PermitDetails]:
    """Return what a permit said before it was corrected or taken back, the latest first."""
    rows = PermitDetails.objects.filter(permit=permit, withdrawn__isnull=False).select_related("entry", "withdrawn")
    return rows.prefetch_related("allowances__species", "allowances__stock").order_by("-pk")


def nameable() -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Return the species and the stocks that a permit can name, each with what it is called."""
    species = Species.objects.current().values_list("key", "scientific_name", "common_name")
    stocks = Stock.objects.current().values_list("name", flat=True)
    return [(key, f"{name} ({common})") for key, name, common in species], [(name, name) for name in stocks]


def scientific_names() -> dict[str, str]:
    """Return the scientific name of each species by its key."""
    return dict(Species.objects.current().values_list("key", "scientific_name"))


def permits_on(day: date) -> list[str]:
    """Return the numbers of the permits in force on a day, for a form to offer."""
    ended = Q(valid_until__isnull=False, valid_until__lt=day)
    rows = PermitDetails.objects.current().filter(~ended, valid_from__lte=day).order_by("permit__number")
    return list(rows.values_list("permit__number", flat=True))
