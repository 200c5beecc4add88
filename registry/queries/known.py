"""Fills registry.rules.known from the tables: what entries name, in a handful of queries whatever their number."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.db.models import OuterRef, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone

from registry.models import (
    Batch,
    Cross,
    FamilyParents,
    Fish,
    FishDetails,
    MiltLot,
    ParentPair,
    PolicyFigure,
    Species,
    Stock,
    StockInheritance,
    Tag,
)
from registry.models.crossing.crosses import Family
from registry.queries.books.known_batches import load_batches
from registry.queries.catalogue.profiles import bounds
from registry.queries.chunks import chunks
from registry.queries.crosses.made import crossed_years
from registry.queries.crosses.states import signed_plans
from registry.queries.identity.near import load_near_codes
from registry.queries.identity.same import let_stand_for, standing
from registry.queries.intake.holds import learn_holds, learn_places
from registry.queries.intake.ploidy import learn_ploidy
from registry.queries.intake.samples import bearers_of
from registry.queries.papers.permits import load_permits
from registry.rules.days import Day
from registry.rules.known import (
    Known,
    KnownFamily,
    KnownFish,
    KnownSpecies,
    KnownTag,
    Pair,
    fold,
)
from registry.rules.tags import TagCode


@dataclass
class Named:
    """What entries name: register numbers of fish, families and batches, tag codes, samples and permits."""

    fish: set[str] = field(default_factory=set)
    families: set[str] = field(default_factory=set)
    batches: set[str] = field(default_factory=set)
    codes: set[str] = field(default_factory=set)
    samples: set[str] = field(default_factory=set)
    permits: set[str] = field(default_factory=set)
    near: bool = False
    plans: bool = False


def known(named: Named, today: date | None = None) -> Known:
    """Return what the register knows of all that is named, with catalogue, units and policy of the day."""
    found = Known(today=today or timezone.localdate())
    _load_catalogue(found)
    learn(found, named)
    return found


def learn(found: Known, named: Named) -> None:
    """Add what the register knows of more that is named."""
    tags = list(_tags(named))
    fish_pks = set(_pks(Fish, named.fish)) | {tag.fish_id for tag in tags}
    family_pks = set(_pks(Family, named.families))
    fish_pks |= _load_families(found, family_pks)
    proved = standing(fish_pks)
    fish_pks |= set(proved.values())
    _load_fish(found, fish_pks)
    let_stand_for(found, proved)
    _load_tags(found, fish_pks, tags)
    found.samples |= bearers_of(spellings(named.samples))
    if named.near:
        load_near_codes(found, named.codes)
    load_batches(found, set(_pks(Batch, named.batches)))
    load_permits(found, named.permits)
    if named.plans and not found.plans:
        found.plans = signed_plans()
    if named.plans:
        learn_ploidy(found.fish.values())
        found.crossed |= crossed_years(fish_pks) if found.plans else {}


def spellings(numbers: Iterable[str]) -> set[str]:
    """Return the numbers in the cases in which people write them; the register's own spelling is one of them."""
    return {spelt for n in numbers if n for spelt in (n, n.upper(), n.lower(), n.capitalize())}


def day_of(first: date | None, precision: str) -> Day | None:
    """Return a day as rules know it."""
    return Day(first, precision or "day") if first else None


def _pks(model: type, numbers: set[str]) -> Iterator[int]:
    for part in chunks(spellings(numbers)):
        yield from model.objects.filter(number__in=part).values_list("pk", flat=True)


def _load_catalogue(found: Known) -> None:
    held = bounds()
    found.species = {s.key: _species(s, held[s.pk]) for s in Species.objects.current()}
    set_for = StockInheritance.objects.current().filter(stock=OuterRef("pk")).values("ploidy")
    stocks = Stock.objects.current().annotate(copies=Coalesce(Subquery(set_for), "species__ploidy"))
    for name, species, copies in stocks.values_list("name", "species__key", "copies"):
        found.stocks[name], found.ploidy_of[name] = species, copies
    learn_places(found)
    found.policy = policy(found.today)


def _species(row: Species, held: dict[str, Decimal]) -> KnownSpecies:
    """Return a species with the figures that the catalogue holds now, else those it was taken in with."""
    largest = (int(held.get(name, getattr(row, name))) for name in ("max_length_mm", "max_mass_g"))
    ages = (held.get(name, getattr(row, name)) for name in ("female_maturity_years", "male_maturity_years"))
    years = (None if age is None else int(age) for age in ages)
    return KnownSpecies(row.key, row.scientific_name, *largest, *years, row.ploidy)


def policy(day: date) -> dict[str, Decimal]:
    """Return the policy figures in force on a day, by key."""
    rows = PolicyFigure.objects.current().filter(in_force_from__lte=day).order_by("in_force_from")
    return dict(rows.values_list("key", "value"))


def policy_days(key: str, day: date) -> int:
    """Return a policy figure counted in days; 0 while none is in force."""
    return int(policy(day).get(key, 0))


def _load_families(found: Known, pks: set[int]) -> set[int]:
    spawned: dict[int, date] = {}
    rows: list[FamilyParents] = []
    for part in chunks(pks):
        crosses = Cross.objects.current().filter(family__in=part)
        spawned.update(crosses.values_list("family_id", "spawning__spawned_on"))
        rows += FamilyParents.objects.current().filter(family__in=part).select_related("family")
        for number, pk, stock in Family.objects.filter(pk__in=part).values_list("number", "pk", "stock__name"):
            found.add_family(KnownFamily(number, pk, stock or "", has_cross=pk in spawned, spawned_on=spawned.get(pk)))
    pairs, parents = parent_pairs({row.parentage_id for row in rows})
    for row in rows:
        found.families[fold(row.family.number)].pairs = pairs[row.parentage_id]
    return parents


def parent_pairs(parentages: set[int]) -> tuple[dict[int, tuple[Pair, ...]], set[int]]:
    """Return the pairs of each parentage, and the keys of all parents named."""
    pairs: dict[int, tuple[Pair, ...]] = defaultdict(tuple)
    parents: set[int] = set()
    for part in chunks(parentages):
        rows = ParentPair.objects.current().filter(parentage__in=part).select_related("dam", "sire")
        for row in rows:
            dam, sire = (row.dam.number if row.dam else None), (row.sire.number if row.sire else None)
            pairs[row.parentage_id] += (Pair(dam, sire, row.probability),)
            parents |= {pk for pk in (row.dam_id, row.sire_id) if pk}
    return pairs, parents


def _load_fish(found: Known, pks: set[int]) -> None:
    rows: list[FishDetails] = []
    for part in chunks(pks):
        rows += FishDetails.objects.current().filter(fish__in=part).select_related("fish", "species", "stock", "family")
        lots = MiltLot.objects.current().filter(male__in=part, state=MiltLot.State.FROZEN)
        found.frozen_milt_of |= {fold(number) for number in lots.values_list("male__number", flat=True)}
    pairs, _ = parent_pairs({row.parentage_id for row in rows if row.parentage_id})
    facts = [fish_as_known(row, pairs.get(row.parentage_id, ())) for row in rows]
    learn_holds(facts)
    for one in facts:
        found.add_fish(one)


def fish_as_known(row: FishDetails, pairs: tuple[Pair, ...] = ()) -> KnownFish:
    """Return a row of details as plain values."""
    return KnownFish(
        number=row.fish.number,
        pk=row.fish_id,
        species=row.species.key if row.species else "",
        doubtful=row.confidence == "doubtful",
        hybrid=row.hybrid,
        stock=row.stock.name if row.stock else "",
        sex=row.sex,
        origin=row.origin,
        caught=day_of(row.caught_on, row.caught_precision),
        hatched=day_of(row.hatched_on, row.hatched_precision),
        left=row.left,
        left_on=day_of(row.left_on, row.left_precision),
        family=row.family.number if row.family else "",
        pairs=pairs,
        tissue=bool(row.tissue_sample),
    )


def _tags(named: Named) -> Iterator[Tag]:
    for part in chunks(named.codes):
        yield from Tag.objects.current().filter(code__in=part).select_related("fish")


def _load_tags(found: Known, fish_pks: set[int], tags: list[Tag]) -> None:
    seen = set()
    of_fish: list[Tag] = []
    for part in chunks(fish_pks):
        of_fish += Tag.objects.current().filter(fish__in=part).select_related("fish")
    for tag in [*tags, *of_fish]:
        if tag.pk not in seen:
            seen.add(tag.pk)
            code = TagCode(tag.system, tag.code)
            ends = (tag.attached_on, tag.ended_on, tag.attached_known)
            found.add_tag(KnownTag(code, tag.fish.number, *ends, tag.pk, tag.end_reason))
