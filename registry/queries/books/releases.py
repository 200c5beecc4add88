"""What pages ask of releases and recaptures."""

from decimal import Decimal

from django.db.models import Count, IntegerField, OuterRef, Q, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from registry.models import FishDetails, Recapture, Release, ReleaseDetails, Transfer
from registry.queries.composition import BatchDay, shares_on
from registry.rules.young.ledger import UNKNOWN_FAMILY


def listed() -> QuerySet[ReleaseDetails]:
    """Return current release details with `batch_fish`, `tagged_fish`, `fish` (both) and `met_again`."""
    return (
        ReleaseDetails.objects.current()
        .select_related("release")
        .annotate(
            batch_fish=_total(Transfer.objects.current().filter(release=OuterRef("release")), Sum("count")),
            tagged_fish=_total(FishDetails.objects.current().filter(release=OuterRef("release")), Count("pk")),
            met_again=_total(Recapture.objects.current().filter(_of(OuterRef("release"))), Count("pk")),
        )
        .annotate(fish=Coalesce("batch_fish", 0) + Coalesce("tagged_fish", 0))
    )


def _total(rows: QuerySet, what: Sum | Count) -> Coalesce:
    counted = rows.order_by().annotate(all_=Value(1)).values("all_").annotate(total=what).values("total")
    return Coalesce(Subquery(counted, output_field=IntegerField()), 0)


def _of(release: object) -> Q:
    """Return what finds the recaptures of a release: named, or of a fish released then."""
    fish = FishDetails.objects.current().filter(release=release).values("fish")
    return Q(release=release) | Q(release__isnull=True, fish__in=fish)


def recaptures_of(release: Release) -> QuerySet[Recapture]:
    """Return the fish of a release that were met again."""
    return Recapture.objects.current().filter(_of(release.pk)).select_related("fish").order_by("recaptured_on", "pk")


def parts_of(release: Release) -> list[Transfer]:
    """Return the batch parts of a release, corrected ones included."""
    rows = Transfer.objects.filter(release=release).select_related("from_account__batch", "entry", "withdrawn")
    return list(rows.order_by("pk"))


def fish_of(release: Release) -> QuerySet[FishDetails]:
    """Return the registered fish of a release."""
    return FishDetails.objects.current().filter(release=release).select_related("fish", "family")


def expected_by_family(release: Release, parts: list[Transfer], fish: list[FishDetails]) -> dict[str, Decimal]:
    """Return how many fish of each family the release held, by the books: parts by the shares of their batch that day.

    A registered fish counts for its family; one whose family is not known for certain stands under UNKNOWN_FAMILY.
    """
    standing = [part for part in parts if part.withdrawn_id is None]
    days: set[BatchDay] = {(part.from_account.batch.number, release.released_on) for part in standing}
    shares = shares_on(days)
    found: dict[str, Decimal] = {}
    for part in standing:
        for family, share in shares[part.from_account.batch.number, release.released_on].items():
            found[family] = found.get(family, Decimal(0)) + share * part.count
    for one in fish:
        family = one.family.number if one.family else UNKNOWN_FAMILY
        found[family] = found.get(family, Decimal(0)) + 1
    return found


def met_again() -> QuerySet[Recapture]:
    """Return all recaptures, as the list shows them."""
    return Recapture.objects.current().select_related("fish", "release")
