"""Permits of the demo: one nearly used up by the releases of the last season, one that ends soon."""

from datetime import date, timedelta

from django.db.models import F, Sum

from registry.demo.hatchery import Hatchery
from registry.models import ReleaseDetails
from registry.operations.papers.permits import enter_permit
from registry.rules.papers.acts import Allowance
from registry.rules.papers.paper import PermitGiven

STOCK = "release__transfers__from_account__batch__stock__name"
AUTHORITY = "Fisheries authority of the Isendre basin"


def enter_permits(hatchery: Hatchery, year: int) -> None:
    """Enter the permit of the season's largest release, and the one under which broodfish are caught and held."""
    manager = hatchery.people["manager"]
    rows = ReleaseDetails.objects.current().filter(release__released_on__year=year)
    counted = rows.annotate(fish=Sum("release__transfers__count"), stock=F(STOCK)).exclude(fish=None)
    most = counted.order_by("-fish", "release__number")[0]
    enter_permit(
        manager,
        PermitGiven(
            number=most.permit,
            issuer=AUTHORITY,
            valid_from=date(year, 1, 1),
            valid_until=date(year + 1, 12, 31),
            allowances=(
                Allowance("release", "", most.stock, -(-most.fish * 21 // 2000) * 100),
                Allowance("release", "oxyrinchus", "", 2000),
            ),
            places="\n".join(place["name"] for place in hatchery.told["release_places"]),
            purpose="N",
            source="C",
            notes="A report with numbers by family is due every January.",
        ),
    )
    enter_permit(
        manager,
        PermitGiven(
            number=f"BW/{year - 2}/3",
            issuer=AUTHORITY,
            valid_from=date(year - 2, 1, 1),
            valid_until=hatchery.today + timedelta(days=40),
            allowances=(
                Allowance("capture", "ruthenus", "", 12),
                Allowance("capture", "oxyrinchus", "", 4),
                Allowance("holding"),
                Allowance("transfer", "ruthenus", "", 200),
            ),
            places="Alder Ford\nBrackenholt Weir\nMaroway mouth",
            purpose="B",
            source="W",
            notes="The renewal is asked for in writing, with the list of broodfish held.",
        ),
    )
