"""Generations in captivity of the fish that acts under permits were done with."""

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable

from registry.models import FamilyParents, FishDetails, ParentPair, Transfer
from registry.queries.chunks import chunks
from registry.queries.composition import shares_on
from registry.rules.papers.acts import Act
from registry.rules.papers.generations import Generations, ParentKeys, generations, spread

Fish = Hashable
# The kind of record that an act stands in, and its number.
Record = tuple[str, str]


def generations_of_acts(acts: Collection[Act]) -> dict[Record, Generations]:
    """Return the generations of the fish in each record that an act stands in: a release, a batch, a fish."""
    named: dict[str, set[str]] = defaultdict(set)
    for act in acts:
        named[act.page].add(act.number)
    fish, batches = _fish_in(named), _batches_in(named, acts)
    families = {family for held in batches.values() for family in held}
    parentages = dict(
        FamilyParents.objects.current()
        .filter(family__number__in=families)
        .values_list("family__number", "parentage_id")
    )
    found = _all_generations({key for held in fish.values() for key in held}, set(parentages.values()))
    held_by: dict[Record, list[Generations]] = defaultdict(list)
    for record, keys in fish.items():
        held_by[record] += [found[key] for key in keys]
    for record, held in batches.items():
        held_by[record] += [found[("sibs", parentages[one])] if one in parentages else _NOBODY_KNOWS for one in held]
    return {record: spread(several) for record, several in held_by.items()}


_NOBODY_KNOWS = Generations(1, None)


def generations_of_stock(stock: str) -> dict[Generations, int]:
    """Return how many living registered fish of a stock are of which generations."""
    rows = FishDetails.objects.current().filter(stock__name=stock, left="").values_list("fish_id", flat=True)
    found = _all_generations(set(rows), set())
    counted: dict[Generations, int] = defaultdict(int)
    for fish in rows:
        counted[found[fish]] += 1
    return dict(sorted(counted.items(), key=lambda item: (item[0].least, item[0].most is None, item[0].most or 0)))


def _fish_in(named: dict[str, set[str]]) -> dict[Record, list[int]]:
    found: dict[Record, list[int]] = defaultdict(list)
    rows = FishDetails.objects.current()
    for page, column in (("release", "release__number"), ("fish", "fish__number")):
        for part in chunks(named[page]):
            for number, key in rows.filter(**{f"{column}__in": part}).values_list(column, "fish_id"):
                found[page, number].append(key)
    return found


def _batches_in(named: dict[str, set[str]], acts: Collection[Act]) -> dict[Record, set[str]]:
    """Return the families whose young were in the batches, on the day on which they left them."""
    parts: dict[Record, set[tuple[str, object]]] = defaultdict(set)
    for part in chunks(named["release"]):
        rows = Transfer.objects.current().filter(release__number__in=part)
        columns = ("release__number", "release__released_on", "from_account__batch__number")
        for number, day, batch in rows.values_list(*columns):
            parts["release", number].add((batch, day))
    for act in acts:
        if act.page == "batch":
            parts["batch", act.number].add((act.number, act.day))
    shares = shares_on({one for held in parts.values() for one in held})  # type: ignore[arg-type]
    return {record: {family for one in held for family in shares[one]} for record, held in parts.items()}  # type: ignore[index]


def _all_generations(fish: set[int], parentages: set[int]) -> dict[Fish, Generations]:
    """Return the generations of fish, and of the young of parentages as ("sibs", key); two queries a generation."""
    parents: dict[Fish, list[ParentKeys]] = {}
    origins: dict[Fish, str] = {}
    pairs = _pairs_of(parentages)
    parents |= {("sibs", key): pairs.get(key, []) for key in parentages}
    new = fish | _named_in(pairs)
    while new:
        own: dict[int, int | None] = {}
        for part in chunks(new):
            rows = FishDetails.objects.current().filter(fish__in=part)
            for key, origin, parentage in rows.values_list("fish_id", "origin", "parentage_id"):
                origins[key], own[key] = origin, parentage
        pairs = _pairs_of({parentage for parentage in own.values() if parentage})
        parents |= {key: pairs.get(parentage, []) for key, parentage in own.items() if parentage}
        new = _named_in(pairs) - set(origins)
    return generations(parents, origins)


def _pairs_of(parentages: Iterable[int]) -> dict[int, list[ParentKeys]]:
    found: dict[int, list[ParentKeys]] = defaultdict(list)
    for part in chunks(parentages):
        rows = ParentPair.objects.current().filter(parentage__in=part)
        for parentage, dam, sire in rows.values_list("parentage_id", "dam_id", "sire_id"):
            found[parentage].append((dam, sire))
    return found


def _named_in(pairs: dict[int, list[ParentKeys]]) -> set[int]:
    return {parent for several in pairs.values() for pair in several for parent in pair if parent}  # type: ignore[misc]
