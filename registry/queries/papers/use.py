"""What was done under permits: computed from the records that name them, so that nothing is booked twice."""

from collections import defaultdict
from collections.abc import Collection
from typing import Any

from django.db.models import Count, F, Q, QuerySet, Sum, Value
from django.utils import timezone

from registry.models import Account, Capture, FishDetails, MiltUse, SampleSent, Transfer
from registry.rules.papers.acts import Act

# More numbers than this are not spelt out in a statement: all rows that name a permit are read instead.
_MANY = 1000
_OF_BATCH = ("from_account__batch__stock__species__key", "from_account__batch__stock__name")
_OF_FISH = ("species__key", "stock__name")
_STANDING = {"release__details__withdrawn__isnull": True}
# What the entry is called by which a fish that was sent away came back.
BACK = "fish back"
_OF_RELEASE = ("release__number", "release__details__place")


def acts_under(numbers: Collection[str]) -> dict[str, list[Act]]:
    """Return every act under each permit, by the permit's number in small letters, in order of happening."""
    found: dict[str, list[Act]] = defaultdict(list)
    for asked in (_captured, _released, _released_fish, _sent, _sent_fish, _sent_milt, _sent_samples):
        for permit, act in asked(numbers):
            found[permit.casefold()].append(act)
    for acts in found.values():
        acts.sort(key=lambda act: (act.day, act.number))
    return found


def _captured(numbers: Collection[str]) -> list[tuple[str, Act]]:
    """Return the fish caught under one of the permits, of the species that each is held to be today."""
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


def held_today() -> list[Act]:
    """Return what the hatchery holds: registered fish that have not left, and the young in its batches, by stock."""
    today = timezone.localdate()
    fish = FishDetails.objects.current().filter(left="").order_by().values_list(*_OF_FISH).annotate(n=Count("pk"))
    young = Account.objects.filter(kind=Account.Kind.BATCH, balance__gt=0).order_by()
    kept = young.values_list("batch__stock__species__key", "batch__stock__name").annotate(n=Sum("balance"))
    return [Act("holding", today, species or "", stock or "", n) for species, stock, n in (*fish, *kept)]


def _sent(numbers: Collection[str]) -> list[tuple[str, Act]]:
    """Return the fish that went to another hatchery out of batches."""
    rows = _naming(Transfer.objects.current(), "permit", numbers)
    named = ("from_account__batch__number", Value(""), "count", Value(""), "abroad")
    return _acts("transfer", "batch", rows.values_list("named_permit", "moved_on", *_OF_BATCH, *named))


def _sent_fish(numbers: Collection[str]) -> list[tuple[str, Act]]:
    """Return the registered fish that went; one that came back was sent all the same."""
    standing = Q(withdrawn__isnull=True) | Q(withdrawn__what=BACK)
    rows = _naming(FishDetails.objects.filter(standing, left="transferred"), "left_permit", numbers)
    named = ("fish__number", Value(""), Value(1), Value(""), "left_abroad")
    return _acts("transfer", "fish", rows.values_list("named_permit", "left_on", *_OF_FISH, *named))


def _sent_milt(numbers: Collection[str]) -> list[tuple[str, Act]]:
    """Return the doses of milt that were given away, of the species that their male is held to be today."""
    now = {"lot__male__details__withdrawn__isnull": True, "purpose": MiltUse.GIVEN_AWAY}
    rows = _naming(MiltUse.objects.current(), "permit", numbers, **now)
    of_male = ("lot__male__details__species__key", "lot__male__details__stock__name")
    named = ("lot__number", Value(""), "doses", Value("milt"), "abroad")
    return _acts("transfer", "milt_lot", rows.values_list("named_permit", "used_on", *of_male, *named))


def _sent_samples(numbers: Collection[str]) -> list[tuple[str, Act]]:
    now = {"fish__details__withdrawn__isnull": True}
    rows = _naming(SampleSent.objects.current(), "permit", numbers, **now)
    of_fish = ("fish__details__species__key", "fish__details__stock__name")
    named = ("fish__number", Value(""), Value(1), Value("sample"), "abroad")
    return _acts("transfer", "fish", rows.values_list("named_permit", "sent_on", *of_fish, *named))


def _naming(rows: QuerySet, column: str, numbers: Collection[str], **standing: Any) -> QuerySet:
    """Return the rows that name a permit. All in one filter: the very details that stand must name it."""
    spelt = {one for number in numbers for one in (number, number.upper(), number.lower())}
    named = {f"{column}__in": spelt} if len(numbers) <= _MANY else {f"{column}__gt": ""}
    return rows.filter(**named, **standing).annotate(named_permit=F(column)).order_by()


def _acts(kind: str, page: str, rows: QuerySet[Any, Any]) -> list[tuple[str, Act]]:
    """Return rows of permit, day, species, stock, number, place, count, and of what is sent, as acts."""
    return [
        (permit, Act(kind, day, species or "", stock or "", count, page, number, place, *sent))
        for permit, day, species, stock, number, place, count, *sent in rows
    ]
