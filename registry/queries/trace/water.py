"""From families and fish to open water: the batches that held their young, releases, and fish met again."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.db.models import Q

from registry.models import Account, Batch, Family, FishDetails, Recapture, Release, ReleaseDetails, Transfer
from registry.queries.chunks import chunks
from registry.queries.composition import BatchDay, shares_on


@dataclass(frozen=True, slots=True)
class Reached:
    """A batch, or a part of a release: its number, day, fish, and the share of them that descends from the record.

    `batch` says out of which batch a release part came, "" for registered fish; `share` is None where only the start
    of the trace is a batch or release, and the books do not part its fish from others.
    """

    number: str
    day: date
    fish: int
    share: Decimal | None = None
    batch: str = ""
    place: str = ""


@dataclass(slots=True)
class Water:
    """Batches, releases and recaptures, each in order of happening."""

    batches: list[Reached] = field(default_factory=list)
    releases: list[Reached] = field(default_factory=list)
    recaptures: list[Recapture] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Start:
    """What the trace starts with: the key of its batch or release, if it is one."""

    batch: int | None
    release: int | None


def into_water(families: set[int], fish: set[int], start: tuple[str, int]) -> Water:
    """Return what became of families and registered fish, and of the batch or release that a trace starts with."""
    kind, key = start
    begun = _Start(key if kind == "batch" else None, key if kind == "release" else None)
    batches = _holding(families, begun)
    parts = _parts(set(batches), begun)
    tagged = _tagged(fish, begun)
    released = {part.release_id for part in parts} | {release.pk for release in tagged}
    places = _places(released)
    shares = None if kind in ("batch", "release") else _shares(families, batches.values(), parts)
    water = Water(recaptures=_met_again(fish, released))
    for batch in sorted(batches.values(), key=lambda batch: (batch.opened_on, batch.number)):
        share = shares[batch.number, None] if shares else None
        water.batches.append(Reached(batch.number, batch.opened_on, batch.account.balance, share))
    for part in parts:
        number, day, place = part.from_account.batch.number, part.moved_on, places.get(part.release_id, "")
        share = shares[number, day] if shares else None
        water.releases.append(Reached(part.release.number, day, part.count, share, number, place))
    for release, count in tagged.items():
        place = places.get(release.pk, "")
        water.releases.append(Reached(release.number, release.released_on, count, Decimal(1), place=place))
    water.releases.sort(key=lambda reached: (reached.day, reached.number, reached.batch))
    return water


def _holding(families: set[int], begun: _Start) -> dict[int, Batch]:
    """Return batches that ever held young of the families, or fish of the batch that the trace starts with."""
    owned = Q(family__in=families) | Q(batch__in=[begun.batch] if begun.batch else [])
    accounts = set(Account.objects.filter(owned).values_list("pk", flat=True))
    reached = set(accounts) if begun.batch else set()
    while accounts:
        new: set[int] = set()
        for part in chunks(accounts):
            moves = Transfer.objects.current().filter(from_account__in=part, to_account__kind=Account.Kind.BATCH)
            new |= set(moves.values_list("to_account", flat=True))
        accounts = new - reached
        reached |= accounts
    found: dict[int, Batch] = {}
    for part in chunks(reached):
        found |= {batch.pk: batch for batch in Batch.objects.filter(account__in=part).select_related("account")}
    return found


def _parts(batches: set[int], begun: _Start) -> list[Transfer]:
    """Return the parts of releases that came out of the batches, or that are of the release itself."""
    rows = Transfer.objects.current().filter(release__isnull=False).select_related("release", "from_account__batch")
    if begun.release:
        return list(rows.filter(release=begun.release).order_by("pk"))
    found: list[Transfer] = []
    for part in chunks(batches):
        found += rows.filter(from_account__batch__in=part)
    return found


def _tagged(fish: set[int], begun: _Start) -> dict[Release, int]:
    """Return how many of the registered fish were released with which release."""
    counts: Counter[Release] = Counter()
    for part in chunks(fish):
        rows = FishDetails.objects.current().filter(fish__in=part, release__isnull=False)
        if begun.release:
            rows = rows.filter(release=begun.release)
        counts.update(row.release for row in rows.select_related("release"))
    return dict(counts)


def _shares(families: set[int], batches: Iterable[Batch], parts: list[Transfer]) -> dict[BatchDay, Decimal]:
    """Return the share of young of the families in each batch now, and on each day of a release out of it."""
    numbers: set[str] = set()
    for part in chunks(families):
        numbers |= set(Family.objects.filter(pk__in=part).values_list("number", flat=True))
    wanted: set[BatchDay] = {(batch.number, None) for batch in batches}
    wanted |= {(part.from_account.batch.number, part.moved_on) for part in parts}
    return {
        batch_day: sum((share for family, share in held.items() if family in numbers), Decimal(0))
        for batch_day, held in shares_on(wanted).items()
    }


def _places(releases: set[int]) -> dict[int, str]:
    found: dict[int, str] = {}
    for part in chunks(releases):
        found |= dict(ReleaseDetails.objects.current().filter(release__in=part).values_list("release", "place"))
    return found


def _met_again(fish: set[int], releases: set[int]) -> list[Recapture]:
    found: dict[int, Recapture] = {}
    for column, keys in (("fish", fish), ("release", releases)):
        for part in chunks(keys):
            rows = Recapture.objects.current().filter(**{f"{column}__in": part}).select_related("fish", "release")
            found |= {row.pk: row for row in rows}
    return sorted(found.values(), key=lambda row: (row.recaptured_on, row.pk))
