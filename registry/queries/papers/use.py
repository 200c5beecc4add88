"""What was done under permits: computed from the records that name them, so that nothing is booked twice."""

from collections import defaultdict
from collections.abc import Collection
from typing import Any

from django.db.models import Count, F, QuerySet, Sum, Value

from registry.models import Capture, FishDetails, Transfer
from registry.rules.papers.acts import Act

# More numbers than this are not spelt out in a statement: all rows that name a permit are read instead.
_MANY = 1000
_OF_BATCH = ("from_account__batch__stock__species__key", "from_account__batch__stock__name")
_OF_FISH = ("species__key", "stock__name")
_STANDING = {"release__details__withdrawn__isnull": True}
_OF_RELEASE = ("release__number", "release__details__place")


def acts_under(numbers: Collection[str]) -> dict[str, list[Act]]:
    """Return every act under each permit, by the permit's number in small letters, in order of happening."""
    found: dict[str, list[Act]] = defaultdict(list)
    for asked in (_captured, _released, _released_fish, _sent, _sent_fish):
        for permit, act in asked(numbers):
            found[permit.casefold()].append(act)
    for acts in found.values():
        acts.sort(key=lambda act: (act.day, act.number))
    return found


def _captured(numbers: Collection[str]) -> list[tuple[str, Act]]:
    """Return the fish caught under one of the permits, of the species that each is held for now."""
    now = {"fish__details__withdrawn__isnull": True}
    rows = _naming(Capture.objects.current(), "permit", numbers, **now)
    of_fish = ("fish__details__species__key", "fish__details__stock__name")
    values = rows.values_list("named_permit", "caught_at__date", *of_fish, "fish__number", "place", Value(1))
    return _acts("capture", "fish", values)


def _released(numbers: Collection[str]) -> list[tuple[str, Act]]:
    """Return the parts of batches in releases whose details, as they stand, name one of the permits."""
    rows = _naming(Transfer.objects.current(), "release__details__permit", numbers, **_STANDING)
    values = rows.values_list("named_permit", "release__released_on", *_OF_BATCH, *_OF_RELEASE)
    return _acts("release", "release", values.annotate(n=Sum("count")))


def _released_fish(numbers: Collection[str]) -> list[tuple[str, Act]]:
    rows = _naming(FishDetails.objects.current(), "release__details__permit", numbers, **_STANDING)
    values = rows.values_list("named_permit", "release__released_on", *_OF_FISH, *_OF_RELEASE)
    return _acts("release", "release", values.annotate(n=Count("pk")))


def _sent(numbers: Collection[str]) -> list[tuple[str, Act]]:
    """Return the fish that went to another hatchery out of batches."""
    rows = _naming(Transfer.objects.current(), "permit", numbers)
    values = rows.values_list("named_permit", "moved_on", *_OF_BATCH, "from_account__batch__number", Value(""), "count")
    return _acts("transfer", "batch", values)


def _sent_fish(numbers: Collection[str]) -> list[tuple[str, Act]]:
    rows = _naming(FishDetails.objects.current(), "left_permit", numbers)
    values = rows.values_list("named_permit", "left_on", *_OF_FISH, "fish__number", Value(""), Value(1))
    return _acts("transfer", "fish", values)


def _naming(rows: QuerySet, column: str, numbers: Collection[str], **standing: Any) -> QuerySet:
    """Return the rows that name a permit. All in one filter: the very details that stand must name it."""
    spelt = {one for number in numbers for one in (number, number.upper(), number.lower())}
    named = {f"{column}__in": spelt} if len(numbers) <= _MANY else {f"{column}__gt": ""}
    return rows.filter(**named, **standing).annotate(named_permit=F(column)).order_by()


def _acts(kind: str, page: str, rows: QuerySet[Any, Any]) -> list[tuple[str, Act]]:
    """Return rows of permit, day, species, stock, number, place and count as acts."""
    return [
        (permit, Act(kind, day, species or "", stock or "", count, page, number, place))
        for permit, day, species, stock, number, place, count in rows
    ]
