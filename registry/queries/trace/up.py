"""Up to the founders: from a fish, family, batch or release, a handful of queries a generation."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils import timezone

from registry.journal.as_of import known_on, open_ends_again
from registry.models import Batch, Family, FishDetails, ParentPair, Tag
from registry.queries.chunks import chunks
from registry.queries.composition import BatchDay
from registry.queries.identity.same import standing_number
from registry.queries.trace import certainty
from registry.queries.trace.batches import add_batches
from registry.queries.trace.families import add_families
from registry.queries.trace.lineage import Level, Lineage, Node, Step, corrections, key_of, written
from registry.queries.trace.pairs import pairs_of
from registry.queries.trace.releases import add_release
from registry.rules.days import Day

SEX = {"F": "female", "M": "male", "I": "intersex", "U": "sex not known"}


def lineage_of(kind: str, number: str, known: date | None = None) -> Lineage:
    """Return the lineage of a record up to founders; `known`: as the register knew it at the end of that day.

    Raises LookupError when there is no such record.
    """
    number = standing_number(number, known) if kind == "fish" else number
    walk = Walk(Lineage(key_of(kind, number)), known)
    walk.begin(kind, number)
    while walk.goes_on():
        walk.a_generation()
    return walk.lineage


class Walk:
    """A lineage under way: what was found, and what is still to be looked up."""

    def __init__(self, lineage: Lineage, known: date | None) -> None:
        self.lineage, self.known = lineage, known
        self.fish: set[int] = set()
        self.families: set[int] = set()
        self.batches: set[BatchDay] = set()
        self._seen: set[Any] = set()

    def begin(self, kind: str, number: str) -> None:
        """Look up where the trace starts."""
        if kind == "release":
            add_release(self, number)
            return
        model: Any = {"fish": FishDetails, "family": Family, "batch": Batch}[kind]
        column = "fish__number" if kind == "fish" else "number"
        found = known_on(model.objects.filter(**{column: number}), self.known).first()
        if found is None:
            raise LookupError(f"{kind} {number}")
        if kind == "fish":
            self.want_fish(found.fish_id)
        elif kind == "family":
            self.want_family(found.pk)
        else:
            self.lineage.start = self.want_batch(number, self.known or timezone.localdate())

    def want_fish(self, pk: int) -> None:
        """Look up a fish in the next generation, once."""
        if ("fish", pk) not in self._seen:
            self._seen.add(("fish", pk))
            self.fish.add(pk)

    def want_family(self, pk: int) -> None:
        """Look up a family in the next generation, once."""
        if ("family", pk) not in self._seen:
            self._seen.add(("family", pk))
            self.families.add(pk)

    def want_batch(self, number: str, day: date) -> str:
        """Look up a batch as it was on a day in the next generation, once; return its key."""
        if (number, day) not in self._seen:
            self._seen.add((number, day))
            self.batches.add((number, day))
        return key_of("batch", number, day)

    def goes_on(self) -> bool:
        """Return whether anything is still to be looked up."""
        return bool(self.fish or self.families or self.batches)

    def a_generation(self) -> None:
        """Look up everything wanted so far."""
        fish, self.fish = self.fish, set()
        families, self.families = self.families, set()
        batches, self.batches = self.batches, set()
        if fish:
            add_fish(self, fish)
        if families:
            add_families(self, families)
        if batches:
            add_batches(self, batches)

    def add(self, node: Node) -> None:
        """Keep a record."""
        self.lineage.nodes[node.key] = node

    def step(self, step: Step) -> None:
        """Keep a step."""
        self.lineage.steps.append(step)

    def parents(self, source: str, pairs: Iterable[ParentPair], judged: tuple[Level, str], entry: Any) -> None:
        """Add the steps to all possible parents, each with its summed probability; an unknown one is a founder."""
        level, evidence = judged
        for role in ("dam", "sire"):
            chances: dict[Any, Decimal] = defaultdict(Decimal)
            for pair in pairs:
                chances[getattr(pair, role)] += pair.probability
            for fish, chance in chances.items():
                key = key_of("fish", fish.number) if fish else f"unknown {role} of {source}"
                if fish:
                    self.want_fish(fish.pk)
                else:
                    about = "not known, taken as an unrelated founder"
                    self.add(Node(key, "fish", f"unknown {role}", about, founder=True))
                self.step(Step(source, key, chance, role, evidence, level, written(entry)))


def add_fish(walk: Walk, pks: set[int]) -> None:
    """Add fish, and steps to the family, batch or parents that they come from."""
    rows: list[FishDetails] = []
    tags: dict[int, list[Tag]] = defaultdict(list)
    mended: dict[int, list[Any]] = defaultdict(list)
    related = ("fish__entry", "species", "stock", "family", "from_batch", "release", "parentage__entry")
    for part in chunks(pks):
        rows += known_on(FishDetails.objects.filter(fish__in=part), walk.known).select_related(*related)
        for tag in known_on(Tag.objects.filter(fish__in=part), walk.known).order_by("attached_on", "pk"):
            tags[tag.fish_id].append(tag)
        for earlier in FishDetails.objects.filter(fish__in=part, withdrawn__isnull=False).select_related("withdrawn"):
            mended[earlier.fish_id].append(earlier.withdrawn)
    subjects = {f"fish {row.fish.number}" for row in rows}
    open_ends_again([tag for worn in tags.values() for tag in worn], subjects, walk.known)
    pairs = pairs_of({row.parentage_id for row in rows if row.parentage_id}, walk.known)
    for row in rows:
        node = Node(key_of("fish", row.fish.number), "fish", row.fish.number, about(row), row.parentage_id is None)
        node.written, node.corrections = written(row.fish.entry), corrections(mended[row.fish_id])
        node.tags = [told(tag) for tag in tags[row.fish_id]]
        walk.add(node)
        if row.parentage_id:
            _step_of_fish(walk, row, tags[row.fish_id], pairs[row.parentage_id])


def _step_of_fish(walk: Walk, row: FishDetails, tags: list[Tag], pairs: list[ParentPair]) -> None:
    source, parentage = key_of("fish", row.fish.number), row.parentage
    mixed = row.from_batch.number if row.from_batch and parentage.basis == parentage.Basis.MIXED else ""
    until = row.left_on or walk.known or timezone.localdate()
    level, evidence = certainty.of_fish(tags, until, parentage.basis, mixed)
    entry = written(row.fish.entry)
    if row.family_id:
        walk.want_family(row.family_id)
        origin = key_of("family", row.family.number)
        walk.step(Step(source, origin, Decimal(1), "family", evidence, level, entry))
    elif mixed:
        # The composition it inherited is that of the day on which it was registered.
        day = timezone.localdate(parentage.entry.happened_at)
        origin = walk.want_batch(mixed, day)
        walk.step(Step(source, origin, Decimal(1), "batch", evidence, level, entry))
    else:
        walk.parents(source, pairs, (level, f"{parentage.get_basis_display().lower()}: {evidence}"), parentage.entry)


def about(row: FishDetails) -> str:
    """Return sex, origin, year and stock of a fish in a few words."""
    came = Day(row.caught_on, row.caught_precision or "day") if row.caught_on else None
    hatched = Day(row.hatched_on, row.hatched_precision or "day") if row.hatched_on else None
    words = [SEX[row.sex], row.get_origin_display().lower()]
    words += [f"caught {came}" + (f" at {row.caught_at}" if row.caught_at else "")] if came else []
    words += [f"hatched {hatched}"] if hatched else []
    words += [row.stock.name] if row.stock else []
    words += [f"released with {row.release.number}"] if row.release else []
    return ", ".join(words)


def told(tag: Tag) -> str:
    """Return a tag with its time in one phrase."""
    end = f" to {tag.ended_on.isoformat()}" if tag.ended_on else ""
    return f"{tag.code} from {tag.attached_on.isoformat()}{end}"
