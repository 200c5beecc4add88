"""Permits as rules know them: what each allows and what was done under it."""

from collections.abc import Collection, Iterable

from django.db.models import QuerySet

from registry.models import PermitDetails
from registry.queries.papers.use import acts_under
from registry.rules.known import Known, fold
from registry.rules.papers.acts import Act, Allowance, KnownPermit


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
    """Return what each permit says as it stands, with all that its lines name."""
    rows = PermitDetails.objects.current().select_related("permit", "entry")
    return rows.prefetch_related("allowances__species", "allowances__stock")


def known_permits(rows: Iterable[PermitDetails]) -> list[KnownPermit]:
    """Return permits with every act under them: three queries and one a kind of act, for one permit or a hundred."""
    listed = list(rows)
    acts = acts_under([row.permit.number for row in listed])
    return [_known(row, acts.get(row.permit.number.casefold(), [])) for row in listed]


def _known(row: PermitDetails, acts: list[Act]) -> KnownPermit:
    lines = [
        Allowance(
            line.act,
            line.species.key if line.species else "",
            line.stock.name if line.stock else "",
            line.most,
        )
        for line in row.allowances.all()
    ]
    places = tuple(place.strip() for place in row.places.splitlines() if place.strip())
    return KnownPermit(row.permit.number, row.valid_from, row.valid_until, tuple(lines), places, acts)
