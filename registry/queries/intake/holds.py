"""Which fish are held back, and why: quarantines, waiting times after treatments, founders without a sample."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from registry.errors import Objection
from registry.models import FishDetails, HoldingUnit, Quarantine, QuarantineUse, Stay, TissueSample, Treatment
from registry.queries.chunks import chunks
from registry.rules.intake.held import Hold
from registry.rules.intake.holds import objections_to_missing_tissue, objections_to_use
from registry.rules.known import Known, KnownFish, Pair

Holds = dict[int, tuple[Hold, ...]]
# As many as one statement takes with ease.
CHUNK = 10_000


def quarantines_of(held: Iterable[int], owner: str = "fish") -> Holds:
    """Return the quarantines of each fish, or batch (`owner`), by its key."""
    found: dict[int, list[Hold]] = defaultdict(list)
    rows = Quarantine.objects.current().filter(**{f"{owner}__in": list(held)}).order_by("since", "pk")
    for key, since, until, unit in rows.values_list(f"{owner}_id", "since", "until", "unit__name"):
        found[key].append(Hold(since, until, unit))
    return {key: tuple(holds) for key, holds in found.items()}


def waits_of(held: Iterable[int], owner: str = "fish") -> Holds:
    """Return the waiting times after treatments of each fish, or batch (`owner`), by its key."""
    found: dict[int, list[Hold]] = defaultdict(list)
    rows = Treatment.objects.current().filter(**{f"{owner}__in": list(held)}, withdrawal_until__isnull=False)
    values = rows.order_by("given_on", "pk").values_list(
        f"{owner}_id", "given_on", "withdrawal_until", "product", "bars_crossing"
    )
    for key, *hold in values:
        found[key].append(Hold(*hold))
    return {key: tuple(holds) for key, holds in found.items()}


def with_tissue(fish: Iterable[int]) -> set[int]:
    """Return the keys of those fish of which a sample is on record that a genotype can be read from."""
    rows = TissueSample.objects.current().filter(fish__in=list(fish), kind__in=TissueSample.GENETIC)
    return set(rows.values_list("fish_id", flat=True))


def held_on(day: date) -> Q:
    """Return the condition on current details that the fish is in quarantine, or withheld from crosses, that day."""
    kept = Quarantine.objects.current().filter(Q(until__isnull=True) | Q(until__gt=day), since__lte=day)
    waiting = Treatment.objects.current().filter(given_on__lte=day, withdrawal_until__gt=day, bars_crossing=True)
    return Exists(kept.filter(fish=OuterRef("fish"))) | Exists(waiting.filter(fish=OuterRef("fish")))


def lacks_tissue() -> Q:
    """Return the condition on current details that no sample of the fish is on record."""
    samples = TissueSample.objects.current().filter(fish=OuterRef("fish"), kind__in=TissueSample.GENETIC)
    return Q(tissue_sample="") & ~Exists(samples)


def learn_holds(facts: Iterable[KnownFish]) -> None:
    """Fill in what holds these fish back; those whose details name a sample are known to have one."""
    by_key = {one.pk: one for one in facts if one.pk is not None}
    keys = list(by_key)
    for start in range(0, len(keys), CHUNK):
        part = keys[start : start + CHUNK]
        quarantines, waits, tissue = quarantines_of(part), waits_of(part), with_tissue(part)
        for key in part:
            one = by_key[key]
            one.quarantines, one.waits = quarantines.get(key, ()), waits.get(key, ())
            one.tissue = one.tissue or key in tissue


def learn_holds_of_batches(found: Known) -> None:
    """Fill in what holds the batches back."""
    by_key = {one.pk: one for one in found.batches.values() if one.pk is not None}
    for part in chunks(by_key):
        quarantines, waits = quarantines_of(part, "batch"), waits_of(part, "batch")
        for key in part:
            by_key[key].quarantines, by_key[key].waits = quarantines.get(key, ()), waits.get(key, ())


def held_back(fish: Iterable[int], day: date) -> dict[int, list[Objection]]:
    """Return why fish are not crossed on a day, by key; fish that nothing holds back are left out.

    Four statements for each ten thousand. The codes (`rules.intake.holds`) say which limit each reason falls under;
    a founder without a sample is a warning.
    """
    facts = list(_facts(fish))
    learn_holds(facts)
    found = {}
    for one in facts:
        role = "sire" if one.sex == "M" else "dam"
        reasons = [*objections_to_use(one, role, day), *objections_to_missing_tissue(one, role)]
        if reasons and one.pk is not None:
            found[one.pk] = reasons
    return found


def _facts(fish: Iterable[int]) -> Iterator[KnownFish]:
    """Yield what is asked of each fish here; which its parents are is not asked, only whether it has any."""
    keys = list(fish)
    for start in range(0, len(keys), CHUNK):
        rows = FishDetails.objects.current().filter(fish__in=keys[start : start + CHUNK])
        for key, number, sex, sample, parentage in rows.values_list(
            "fish_id", "fish__number", "sex", "tissue_sample", "parentage_id"
        ):
            some = (Pair(None, None),) if parentage else ()
            yield KnownFish(number, key, sex=sex, pairs=some, tissue=bool(sample))


def in_quarantine() -> QuerySet:
    """Return the quarantines that nobody has ended, of fish and batches that are still here, longest first."""
    living = FishDetails.objects.current().filter(fish=OuterRef("fish"), left="")
    here = Q(Exists(living)) | Q(batch__account__balance__gt=0)
    rows = Quarantine.objects.current().filter(here, until__isnull=True)
    return rows.select_related("fish", "batch", "unit").order_by("since", "fish__number", "batch__number")


def held_in(unit: str) -> QuerySet:
    """Return the quarantines that nobody has ended of what stands in a unit now."""
    here = Stay.objects.current().filter(unit__name=unit, until__isnull=True)
    fish, batches = here.filter(fish__isnull=False), here.filter(batch__isnull=False)
    return in_quarantine().filter(Q(fish__in=fish.values("fish")) | Q(batch__in=batches.values("batch")))


def quarantine_rows() -> QuerySet:
    """Return every quarantine that stands, with `species_name` of its fish or batch."""
    of_fish = FishDetails.objects.current().filter(fish=OuterRef("fish")).values("species__scientific_name")
    species = Coalesce(Subquery(of_fish[:1]), "batch__stock__species__scientific_name")
    rows = Quarantine.objects.current().select_related("fish", "batch", "unit")
    return rows.annotate(species_name=species)


def learn_places(found: Known) -> None:
    """Fill in the units, which of them serve for quarantine today, and which water each has."""
    rows = HoldingUnit.objects.current().values_list("name", "water_system__facility__name", "water_system__name")
    for name, facility, water in rows:
        found.units.add(name)
        if water:
            found.water_of[name] = f"{water}, {facility}"
    uses = QuarantineUse.objects.current().filter(until__isnull=True)
    found.quarantine_units = set(uses.values_list("unit__name", flat=True))
