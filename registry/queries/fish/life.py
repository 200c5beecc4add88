"""One fish's life: every row that was ever written of it, taken-back rows too, in a fixed number of queries."""

import json
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import datetime

from registry.models import (
    Check,
    Cross,
    CrossSire,
    Fish,
    FishDetails,
    Induction,
    JournalEntry,
    MiltLot,
    ParentPair,
    Recapture,
    Stay,
    Tag,
)
from registry.queries.crosses.spawning import males
from registry.queries.fish.care import Care, care_of


@dataclass(frozen=True, slots=True)
class Head:
    """What a journal entry says in short."""

    seq: int
    what: str
    happened_at: datetime
    reason: str


@dataclass
class Life:
    """All that is on record of a fish; `versions` are its details from first to present, `heads` journal entries."""

    fish: Fish
    versions: list[FishDetails]
    tags: list[Tag]
    stays: list[Stay]
    checks: list[Check]
    inductions: list[Induction] = field(default_factory=list)
    as_dam: list[Cross] = field(default_factory=list)
    as_sire: list[CrossSire] = field(default_factory=list)
    lots: list[MiltLot] = field(default_factory=list)
    recaptures: list[Recapture] = field(default_factory=list)
    pairs: dict[int, list[ParentPair]] = field(default_factory=dict)
    heads: dict[int, Head] = field(default_factory=dict)
    tag_ends: dict[int, int] = field(default_factory=dict)
    care: Care = field(default_factory=Care)

    @property
    def details(self) -> FishDetails:
        """Return what is known now; of a number that proved to be another fish, what was known last."""
        return next((version for version in reversed(self.versions) if version.withdrawn_id is None), self.versions[-1])

    @property
    def active_tags(self) -> list[Tag]:
        """Return the tags that are on the fish now."""
        return [tag for tag in self.tags if tag.withdrawn_id is None and tag.ended_on is None]

    @property
    def stay(self) -> Stay | None:
        """Return the stay that is not over."""
        return next((stay for stay in self.stays if stay.withdrawn_id is None and stay.until is None), None)

    @property
    def last_check(self) -> Check | None:
        """Return the newest check that stands."""
        return next((check for check in self.checks if check.withdrawn_id is None), None)


def life_of(number: str) -> Life | None:
    """Return the life of the fish of that register number; None when there is no such fish."""
    fish = Fish.objects.filter(number=number).first()
    if fish is None:
        return None
    details = FishDetails.objects.filter(fish=fish).order_by("pk")
    life = Life(
        fish,
        list(details.select_related("species", "stock__species", "family", "from_batch", "parentage", "release")),
        list(Tag.objects.filter(fish=fish).order_by("attached_on", "pk")),
        list(Stay.objects.filter(fish=fish).select_related("unit").order_by("since", "pk")),
        list(Check.objects.filter(fish=fish).order_by("-checked_on", "-pk")),
    )
    life.care = care_of(fish.pk)
    _load_breeding(life)
    _load_parents(life)
    _load_journal(life)
    return life


def _load_breeding(life: Life) -> None:
    fish = life.fish
    life.inductions = list(Induction.objects.filter(fish=fish).select_related("spawning"))
    crosses = Cross.objects.filter(dam=fish).select_related("spawning", "family").prefetch_related(males())
    life.as_dam = list(crosses)
    life.as_sire = list(
        CrossSire.objects.filter(sire=fish).select_related("cross__spawning", "cross__family", "cross__dam")
    )
    life.lots = list(MiltLot.objects.filter(male=fish))
    life.recaptures = list(Recapture.objects.filter(fish=fish))


def _load_parents(life: Life) -> None:
    keys = {version.parentage_id for version in life.versions if version.parentage_id}
    found: dict[int, list[ParentPair]] = defaultdict(list)
    for pair in ParentPair.objects.current().filter(parentage__in=keys).select_related("dam", "sire"):
        found[pair.parentage_id].append(pair)
    life.pairs = dict(found)


def _load_journal(life: Life) -> None:
    """Load the heads of all entries that wrote or took back a row, and which entry ended which tag."""
    rows = [*life.versions, *life.tags, *life.stays, *life.checks, *life.inductions, *life.as_dam, *life.as_sire]
    rows += [*life.lots, *life.recaptures, *life.care.rows()]
    wanted = {seq for row in rows for seq in (row.entry_id, row.withdrawn_id) if seq}
    found = JournalEntry.objects.filter(seq__in=wanted).values_list("seq", "what", "happened_at", "reason")
    life.heads = {head[0]: Head(*head) for head in found.order_by()}
    ends = JournalEntry.objects.filter(subject=f"fish {life.fish.number}", what="tag ended")
    for seq, body in ends.order_by().values_list("seq", "body"):
        for row in json.loads(body)["rows"]:
            if row["kind"] == "tag":
                life.tag_ends[row["id"]] = seq
