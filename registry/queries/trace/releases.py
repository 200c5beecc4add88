"""A release as the start of a trace: its batch parts and its registered fish."""

from collections import Counter
from decimal import Decimal
from typing import Any

from registry.journal.as_of import known_on
from registry.models import FishDetails, Release, ReleaseDetails, Transfer
from registry.queries.trace import certainty
from registry.queries.trace.lineage import Level, Node, Step, corrections, key_of, written
from registry.rules.days import spoken
from registry.rules.reading import whole

# More registered fish than this are told by family, so that the picture can be read.
ONE_BY_ONE = 12


def add_release(walk: Any, number: str) -> None:
    """Add a release, and steps to its batches and fish by their share. Raises LookupError when there is none."""
    release = known_on(Release.objects.filter(number=number), walk.known).select_related("entry").first()
    if release is None:
        raise LookupError(f"release {number}")
    details = ReleaseDetails.objects.filter(release=release).select_related("withdrawn")
    now = known_on(details, walk.known).first()
    parts = list(
        known_on(Transfer.objects.filter(release=release), walk.known).select_related("from_account__batch", "entry")
    )
    rows = FishDetails.objects.filter(release=release)
    fish = list(known_on(rows, walk.known).select_related("fish", "family", "from_batch", "entry"))
    key, total = key_of("release", number), sum(part.count for part in parts) + len(fish)
    where = f", {now.place}" if now else ""
    node = Node(key, "release", number, f"{whole(total)} fish, {spoken(release.released_on)}{where}")
    node.written = written(release.entry)
    node.corrections = corrections(row.withdrawn for row in details if row.withdrawn)
    walk.add(node)
    _steps_to_batches(walk, key, parts, (now.mark if now else "", total))
    if len(fish) <= ONE_BY_ONE:
        for one in fish:
            walk.want_fish(one.fish_id)
            text = "released one by one, by number"
            origin = key_of("fish", one.fish.number)
            walk.step(Step(key, origin, 1 / Decimal(total), "fish", text, Level.PROVED, written(one.entry)))
    else:
        _steps_to_groups(walk, key, fish, total)


def _steps_to_batches(walk: Any, key: str, parts: list[Transfer], marked: tuple[str, int]) -> None:
    mark, total = marked
    level, evidence = certainty.of_released_batch(mark)
    for part in parts:
        origin = walk.want_batch(part.from_account.batch.number, part.moved_on)
        share = part.count / Decimal(total)
        walk.step(Step(key, origin, share, "batch", f"{whole(part.count)} fish {evidence}", level, written(part.entry)))


def _steps_to_groups(walk: Any, key: str, fish: list[FishDetails], total: int) -> None:
    """Registered fish by family; those without one by one, as each has its own parents."""
    by_family = Counter(one.family for one in fish if one.family)
    for family, count in sorted(by_family.items(), key=lambda item: item[0].number):
        walk.want_family(family.pk)
        text = f"{whole(count)} registered fish of this family, released by number"
        share = count / Decimal(total)
        walk.step(Step(key, key_of("family", family.number), share, "family", text, Level.PROVED))
    for one in fish:
        if one.family is None:
            walk.want_fish(one.fish_id)
            origin = key_of("fish", one.fish.number)
            text = "released one by one, by number"
            walk.step(Step(key, origin, 1 / Decimal(total), "fish", text, Level.PROVED, written(one.entry)))
