"""Batches on the way up: whose young they held on a day, and through which movements those came."""

from collections import defaultdict
from datetime import date
from decimal import Decimal
from typing import Any

from registry.journal.as_of import known_on
from registry.models import Account, Batch, Family, Transfer
from registry.queries.composition import BatchDay, shares_on
from registry.queries.trace import certainty
from registry.queries.trace.lineage import Node, Step, corrections, key_of, written
from registry.rules.days import spoken
from registry.rules.reading import whole
from registry.rules.young.ledger import UNKNOWN_FAMILY

MOST_TOLD = 4
FEEDS = (Account.Kind.BATCH, Account.Kind.FAMILY)


def add_batches(walk: Any, wanted: set[BatchDay]) -> None:
    """Add batches as they were on a day, and steps to their families with the shares of that day."""
    shares = shares_on(wanted, walk.known)
    numbers = {number for number, _ in wanted}
    batches = {batch.number: batch for batch in Batch.objects.filter(number__in=numbers).select_related("entry")}
    names = {family for held in shares.values() for family in held}
    families = dict(Family.objects.filter(number__in=names).values_list("number", "pk"))
    arrived, mended = _movements(walk, numbers)
    for number, day in sorted(wanted, key=str):
        key, batch = key_of("batch", number, day), batches[number]
        told = _about([row for row in arrived[number] if row.moved_on <= day], day)
        node = Node(key, "batch", number, told, written=written(batch.entry), on=day)
        node.corrections = corrections(mended[number])
        walk.add(node)
        _steps(walk, key, shares[number, day], families, batch.entry)


def _steps(walk: Any, key: str, shares: dict[str, Decimal], families: dict[str, int], entry: Any) -> None:
    level, evidence = certainty.of_batch(len(shares))
    for family, share in sorted(shares.items(), key=lambda item: (-item[1], item[0])):
        origin = key_of("family", family)
        if family == UNKNOWN_FAMILY:
            origin = f"unknown family of {key}"
            walk.add(Node(origin, "family", "unknown", "fish whose family was never entered", founder=True))
        else:
            walk.want_family(families[family])
        walk.step(Step(key, origin, share, "family", evidence, level, written(entry)))


def _movements(walk: Any, numbers: set[str]) -> tuple[dict[str, list[Transfer]], dict[str, list[Any]]]:
    """Return what came into each batch from families and batches, and what of its movements was corrected."""
    arrived: dict[str, list[Transfer]] = defaultdict(list)
    mended: dict[str, list[Any]] = defaultdict(list)
    into = Transfer.objects.filter(to_account__batch__number__in=numbers, from_account__kind__in=FEEDS)
    ends = ("to_account__batch", "from_account__batch", "from_account__family", "withdrawn")
    for row in into.select_related(*ends).order_by("moved_on", "pk"):
        if row.withdrawn:
            mended[row.to_account.batch.number].append(row.withdrawn)
    for row in known_on(into, walk.known).select_related(*ends).order_by("moved_on", "pk"):
        arrived[row.to_account.batch.number].append(row)
    return arrived, mended


def _about(rows: list[Transfer], day: date) -> str:
    told = []
    for row in rows[:MOST_TOLD]:
        source = row.from_account
        owner = f"batch {source.batch.number}" if source.batch else f"family {source.family.number}"
        told.append(f"{whole(row.count)} from {owner}, {spoken(row.moved_on)}")
    more = f"; and {len(rows) - MOST_TOLD} more" if len(rows) > MOST_TOLD else ""
    return f"as on {spoken(day)}: " + "; ".join(told) + more if told else f"as on {spoken(day)}"
