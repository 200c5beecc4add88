"""What the season has to do with: eggs expected of each female, and incubators without young."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Exists, OuterRef, Subquery

from registry.models import Check, Cross, FishDetails, HoldingUnit, Species, SpeciesFigure, Stay
from registry.models.places import UnitKind
from registry.queries.known import chunks

INCUBATORS = (UnitKind.JAR, UnitKind.TROUGH)
GRAMS_A_KILOGRAM = 1000


@dataclass(frozen=True, slots=True)
class Eggs:
    """Eggs expected of a female, and by what: her largest night so far, or her mass."""

    count: int
    by: str


@dataclass(frozen=True, slots=True)
class Incubators:
    """Incubator jars and troughs of the register, and how many of them hold nothing."""

    all: int
    free: int


def incubators(season: int, today: date) -> Incubators:
    """Return the incubators of all facilities: a plan is made for a stock, wherever it is held.

    What stands in them today will be out of them by a season that has not come yet.
    """
    held = Stay.objects.current().filter(unit=OuterRef("pk"), until__isnull=True)
    if season > today.year:
        held = held.none()
    units = HoldingUnit.objects.current().filter(kind__in=INCUBATORS).annotate(held=Exists(held))
    states = list(units.values_list("held", flat=True))
    return Incubators(len(states), states.count(False))


def eggs_expected(dams: Iterable[int], species: Species) -> dict[int, Eggs]:
    """Return the eggs expected of females, by key, as far as anything is known: three statements for ten thousand.

    Her largest night so far; else her last mass times the fewest eggs per kg that the catalogue has for the species.
    """
    keys = list(dams)
    fewest = SpeciesFigure.objects.current().filter(species=species, figure="eggs_per_kg", low__isnull=False)
    per_kg = min(fewest.values_list("low", flat=True), default=None)
    found: dict[int, Eggs] = {}
    for part in chunks(keys):
        if per_kg is not None:
            weighed = Check.objects.current().filter(fish=OuterRef("fish"), mass_g__isnull=False)
            mass = Subquery(weighed.order_by("-checked_on", "-pk").values("mass_g")[:1])
            rows = FishDetails.objects.current().filter(fish__in=part).annotate(mass=mass).exclude(mass=None)
            for key, grams in rows.values_list("fish_id", "mass"):
                found[key] = Eggs(int(grams * per_kg / GRAMS_A_KILOGRAM), f"{grams / GRAMS_A_KILOGRAM:.1f} kg")
        for key, count in _largest_night(part).items():
            found[key] = Eggs(count, "her largest night")
    return found


def _largest_night(dams: list[int]) -> dict[int, int]:
    nights: dict[tuple[int, int], Decimal] = defaultdict(Decimal)
    rows = Cross.objects.current().filter(dam__in=dams, egg_mass_g__isnull=False, eggs_per_g__isnull=False)
    for dam, spawning, mass, per_g in rows.values_list("dam_id", "spawning_id", "egg_mass_g", "eggs_per_g"):
        nights[dam, spawning] += mass * per_g
    found: dict[int, int] = {}
    for (dam, _), eggs in nights.items():
        found[dam] = max(int(eggs), found.get(dam, 0))
    return found
