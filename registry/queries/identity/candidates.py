"""Is it one that the register knows? Asked before a fish gets a number, by every face that admits one."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from django.db.models import Exists, OuterRef, Q, QuerySet

from registry.models import Capture, CharacterSeen, Check, FishDetails, Recapture, Stay, Tag
from registry.queries.known import day_of
from registry.rules.identity.likeness import Candidate, Remembered, Seen, likely_ones
from registry.rules.tags import TagCode, slips

MOST = 6
# So many fish are weighed of each kind, the newest first: a register of a million is answered as fast as a small one.
MOST_WEIGHED = 200


def candidates(seen: Seen) -> list[Candidate]:
    """Return the fish that may be the one in hand, the strongest evidence first; a fixed number of queries.

    Weighed are fish that bear or bore its code or one a figure apart, fish without a tag, missing and released ones.
    """
    return likely_ones(seen, remembered(_weighed(seen)), MOST)


def _weighed(seen: Seen) -> set[int]:
    tags = Tag.objects.current()
    found: set[int] = set()
    if seen.code:
        codes = [seen.code.code, *slips(seen.code)]
        found |= set(tags.filter(system=seen.code.system, code__in=codes).values_list("fish_id", flat=True))
    rows = FishDetails.objects.current()
    if seen.species:
        rows = rows.filter(Q(species__key=seen.species) | Q(species=None))
    if seen.sex in "FM":
        rows = rows.exclude(sex="M" if seen.sex == "F" else "F")
    untagged = ~Exists(tags.filter(fish=OuterRef("fish"), ended_on__isnull=True))
    found |= _newest(rows.filter(untagged, left="").order_by("-pk"))
    found |= _newest(rows.filter(left="missing").order_by("-left_on", "-pk"))
    return found | _newest(rows.filter(left="released").order_by("-left_on", "-pk"))


def _newest(rows: QuerySet) -> set[int]:
    return set(rows.values_list("fish_id", flat=True)[:MOST_WEIGHED])


def remembered(fish: Iterable[int]) -> list[Remembered]:
    """Return what the register knows of fish, by which they are known again."""
    pks = list(fish)
    rows = FishDetails.objects.current().filter(fish__in=pks).select_related("fish", "species", "stock")
    tags, units = _tags(pks), _units(pks)
    measured, scutes, places = _measured(pks), _scutes(pks), _places(pks)
    return [
        Remembered(
            pk=row.fish_id,
            number=row.fish.number,
            species=row.species.key if row.species else "",
            stock=row.stock.name if row.stock else "",
            sex=row.sex,
            left=row.left,
            left_on=day_of(row.left_on, row.left_precision),
            unit=units.get(row.fish_id, ""),
            tags=tuple(tags[row.fish_id]),
            measured=measured.get(row.fish_id),
            scutes=scutes[row.fish_id],
            places=tuple(places[row.fish_id]),
        )
        for row in rows
    ]


def _tags(fish: list[int]) -> dict[int, list[tuple[TagCode, date, date | None]]]:
    found: dict[int, list[tuple[TagCode, date, date | None]]] = defaultdict(list)
    for tag in Tag.objects.current().filter(fish__in=fish):
        found[tag.fish_id].append((TagCode(tag.system, tag.code), tag.attached_on, tag.ended_on))
    return found


def _units(fish: list[int]) -> dict[int, str]:
    """Return where each fish was last."""
    stays = Stay.objects.current().filter(fish__in=fish).order_by("since", "pk")
    return dict(stays.values_list("fish_id", "unit__name"))


def _measured(fish: list[int]) -> dict[int, tuple[date, Decimal]]:
    """Return the last length of each fish, with its day."""
    checks = Check.objects.current().filter(fish__in=fish, total_length_mm__isnull=False).order_by("checked_on", "pk")
    return {one.fish_id: (one.checked_on, one.total_length_mm) for one in checks}


def _places(fish: list[int]) -> dict[int, list[tuple[str, str]]]:
    """Return where each fish was caught, released or met, the latest of each kind first."""
    released = FishDetails.objects.current().filter(fish__in=fish, release__details__withdrawn__isnull=True)
    met = Recapture.objects.current().filter(fish__in=fish).order_by("-recaptured_on", "-pk")
    caught = Capture.objects.current().filter(fish__in=fish).order_by("-caught_at", "-pk")
    found: dict[int, list[tuple[str, str]]] = defaultdict(list)
    for what, rows in (
        ("met", met.values_list("fish_id", "place")),
        ("released", released.exclude(release=None).values_list("fish_id", "release__details__place")),
        ("caught", caught.values_list("fish_id", "place")),
        ("caught", FishDetails.objects.current().filter(fish__in=fish).values_list("fish_id", "caught_at")),
    ):
        for one, place in rows:
            found[one] += [(what, place)] if place else []
    return found


def _scutes(fish: list[int]) -> dict[int, dict[str, int]]:
    """Return the last counts of each fish's scutes, by character and side."""
    counted = CharacterSeen.objects.current().filter(
        determination__fish__in=fish, determination__withdrawn__isnull=True,
        character__endswith="scutes", value__isnull=False,
    )  # fmt: skip
    found: dict[int, dict[str, int]] = defaultdict(dict)
    rows = counted.order_by("determination__determined_on", "pk")
    for one, character, side, value in rows.values_list("determination__fish_id", "character", "side", "value"):
        found[one][f"{character} {side}".strip()] = int(value)
    return found
