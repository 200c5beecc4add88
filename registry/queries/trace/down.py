"""Down to the river: offspring by generation and family, their batches, releases, and fish met again."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import Q, QuerySet

from registry.models import Batch, Family, FamilyParents, Fish, FishDetails, Parentage, ParentPair, Release
from registry.queries.chunks import chunks
from registry.queries.trace.water import Water, into_water


@dataclass(slots=True)
class Brood:
    """Registered young of one family ("" for fish whose parents are known without a family).

    `probability`: how likely it descends from the generation before.
    """

    family: str
    probability: Decimal = Decimal(1)
    basis: str = ""
    fish: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Offspring:
    """What came of a record: `generations` of broods, the young of the record first; batches, releases, recaptures."""

    generations: list[list[Brood]] = field(default_factory=list)
    water: Water = field(default_factory=Water)

    @property
    def fish(self) -> int:
        """Return how many registered fish descend from the record, or were taken out of it."""
        return sum(len(brood.fish) for broods in self.generations for brood in broods)


@dataclass(slots=True)
class _Met:
    """Keys of what the descent came across."""

    fish: set[int] = field(default_factory=set)
    families: set[int] = field(default_factory=set)
    named: set[str] = field(default_factory=set)


def offspring_of(kind: str, number: str) -> Offspring:
    """Return what came of a fish, family, batch or release. Raises LookupError when there is no such record."""
    models = {"fish": Fish, "family": Family, "batch": Batch, "release": Release}
    start = models[kind].objects.filter(number=number).values_list("pk", flat=True).first()
    if start is None:
        raise LookupError(f"{kind} {number}")
    found, met = Offspring(), _Met()
    if kind == "fish":
        met.fish.add(start)
        parents = {start}
    else:
        parents = _first(kind, start, found, met)
    while parents:
        parents = _next(parents, found, met)
    found.water = into_water(met.families, met.fish, (kind, start))
    return found


def _first(kind: str, start: int, found: Offspring, met: _Met) -> set[int]:
    """Add the registered fish of a family, out of a batch or with a release; return their keys."""
    column = {"family": "family", "batch": "from_batch", "release": "release"}[kind]
    if kind == "family":
        met.families.add(start)
    return _gather({}, FishDetails.objects.current().filter(**{column: start}), found, met)


def _next(parents: set[int], found: Offspring, met: _Met) -> set[int]:
    """Add everything that may be young of these fish; return the keys of fish not met before."""
    chances = _chances(parents)
    broods: dict[int, Brood] = {}
    new: set[int] = set()
    for part in chunks(chances):
        known = FamilyParents.objects.current().filter(parentage__in=part).select_related("family", "parentage")
        for row in known:
            met.families.add(row.family_id)
            basis = row.parentage.get_basis_display()
            broods[row.parentage_id] = Brood(row.family.number, chances[row.parentage_id], basis)
        rows = FishDetails.objects.current().filter(parentage__in=part)
        for parentage in Parentage.objects.filter(pk__in=set(part) - set(broods)):
            broods[parentage.pk] = Brood("", chances[parentage.pk], parentage.get_basis_display())
        new |= _gather(broods, rows, found, met)
        broods = {}
    return new


def _chances(parents: set[int]) -> dict[int, Decimal]:
    """Return, for each parentage that names any of the fish, the summed probability of the pairs that do."""
    pairs: dict[int, tuple[int, Decimal]] = {}
    for part in chunks(parents):
        rows = ParentPair.objects.current().filter(Q(dam__in=part) | Q(sire__in=part))
        pairs |= {pk: (parentage, p) for pk, parentage, p in rows.values_list("pk", "parentage", "probability")}
    chances: dict[int, Decimal] = defaultdict(Decimal)
    for parentage, probability in pairs.values():
        chances[parentage] += probability
    return dict(chances)


def _gather(broods: dict[int, Brood], rows: QuerySet[FishDetails], found: Offspring, met: _Met) -> set[int]:
    """Put fish into the broods of their parentage, and the broods into a generation; return the fish not met before."""
    new: set[int] = set()
    for row in rows.select_related("fish", "family").order_by("fish__number"):
        if row.fish_id not in met.fish:
            new.add(row.fish_id)
            brood = broods.setdefault(row.parentage_id or 0, Brood(row.family.number if row.family else ""))
            brood.fish.append(row.fish.number)
    met.fish |= new
    # A family without registered fish is told once, in the first generation that it belongs to.
    shown = [brood for brood in broods.values() if brood.fish or {brood.family} - met.named - {""}]
    met.named |= {brood.family for brood in shown}
    if shown:
        found.generations.append(in_order(shown))
    return new


def in_order(broods: Iterable[Brood]) -> list[Brood]:
    """Return broods by family number, those without a family last."""
    return sorted(broods, key=lambda brood: (brood.family == "", brood.family))
