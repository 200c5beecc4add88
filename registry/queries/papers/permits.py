"""Permits as rules know them: what each allows and what was done under it."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date

from django.db.models import Q, QuerySet

from registry.models import Permit, PermitAllowance, PermitDetails, Species, Stock
from registry.queries.papers.use import acts_under
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
    return [
        KnownPermit(
            row.permit.number,
            row.valid_from,
            row.valid_until,
            tuple(lines[row.pk]),
            tuple(place.strip() for place in row.places.splitlines() if place.strip()),
            acts.get(row.permit.number.casefold(), []),
        )
        for row in listed
    ]


def lines_of(details: set[int]) -> dict[int, list[Allowance]]:
    """Return the lines of what permits say, by the key of their details, in the order in which they were entered."""
    found: dict[int, list[Allowance]] = defaultdict(list)
    rows = PermitAllowance.objects.filter(details__in=details).order_by("pk")
    for key, act, species, stock, most in rows.values_list("details", "act", "species__key", "stock__name", "most"):
        found[key].append(Allowance(act, species or "", stock or "", most))
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
