"""One season of one stock: crosses, batches, losses, counts, young tagged, the rest released."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from registry.demo.broodfish import mature
from registry.demo.hatchery import Brood, Hatchery, enter
from registry.demo.plans import plan_and_depart
from registry.operations.crossing.spawning import SPAWNING
from registry.operations.registration import REGISTRATION
from registry.operations.shared.desk import Desk
from registry.operations.young.batches import CENSUS, OPENING, TAKING
from registry.operations.young.releases import RELEASING
from registry.permissions import ENTER, RELEASE
from registry.rules.crossing.spawning import CrossMade, SireShare, SpawningNight, equal_shares
from registry.rules.days import Day
from registry.rules.fish import Admission
from registry.rules.young.batches import BatchOpening, Census, FamilyShare, Registration, Taking
from registry.rules.young.releases import BatchPart, ReleaseMade

# So many young of every family are kept as broodfish.
KEPT = 4
FORGOTTEN = 23
# The season whose plan the demo compares with what was made.
PLANNED_SEASON = 2026


@dataclass
class Young:
    """A batch of this season with its family and parents."""

    batch: str
    family: str
    parents: frozenset[str]
    generation: int
    hatched: date
    count: int


def spawn(hatchery: Hatchery, stock: dict[str, Any], year: int, pooled: bool = False) -> list[Young]:
    """Make this season's crosses, unrelated parents first, and open a batch of each family."""
    females, males = mature(hatchery, stock, year)
    wanted = hatchery.dice.randint(*stock["crosses"])
    night = hatchery.day(year, 4, 40)
    crosses, young = [], []
    for dam in females[:wanted]:
        fit = [m for m in males if not ((m.parents | {m.number}) & (dam.parents | {dam.number}))]
        if len(fit) < 2:
            continue
        sires = fit[:2] if pooled and not crosses else fit[:1]
        for sire in sires:
            males.remove(sire)
            males.append(sire)
            sire.uses += 1
        dam.uses += 1
        family = hatchery.next(f"{year % 100:02}")
        crosses.append(_cross(hatchery, dam, sires, family, night))
        generation = 1 + max(dam.generation, *(s.generation for s in sires))
        parents = frozenset({dam.number, *(s.number for s in sires)})
        young.append(Young("", family, parents, generation, night + timedelta(days=7), 0))
    if not crosses:
        return []
    if year == PLANNED_SEASON and stock["prefix"] == "UI":
        crosses = plan_and_depart(hatchery, stock, year, crosses)
    with hatchery.desk("staff", ENTER) as desk:
        number = f"S{year % 100:02}-{stock['prefix']}"
        water = Decimal(hatchery.dice.randrange(110, 150)) / 10
        night_of = SpawningNight(
            number=number, spawned_on=night, stock=stock["name"], water_c=water, crosses=tuple(crosses)
        )
        enter(desk, SPAWNING, night_of)
        for one in young:
            _open(hatchery, desk, one, year)
    return young


def _cross(hatchery: Hatchery, dam: Brood, sires: list[Brood], family: str, night: date) -> CrossMade:
    dice = hatchery.dice
    zone = timezone.get_current_timezone()
    clock = datetime(night.year, night.month, night.day, 22, dice.randrange(60), tzinfo=zone)
    shares = equal_shares([s.number for s in sires])
    return CrossMade(
        dam=dam.number,
        sires=tuple(
            SireShare(sire=s.number, share=share, motility_percent=Decimal(dice.randrange(62, 98)))
            for s, share in zip(sires, shares, strict=True)
        ),
        family=family,
        made_at=clock,
        egg_mass_g=Decimal(dice.randrange(2200, 9000)) / 10,
        eggs_per_g=Decimal(dice.randrange(480, 990)) / 10,
        fertilisation_percent=Decimal(dice.randrange(450, 920)) / 10,
        notes="Milt was pooled." if len(sires) > 1 else "",
    )


def _open(hatchery: Hatchery, desk: Desk, young: Young, year: int) -> None:
    young.batch = hatchery.next(f"B{year % 100:02}")
    young.count = hatchery.dice.randrange(4_000, 26_000)
    enter(
        desk,
        OPENING,
        BatchOpening(
            number=young.batch,
            opened_on=young.hatched,
            count=young.count,
            families=(FamilyShare(family=young.family),),
            unit=hatchery.dice.choice(hatchery.told["nursery"]),
            stage="larvae",
            method="volumetric",
        ),
    )


def rear(hatchery: Hatchery, young: list[Young], year: int) -> None:
    """Book the summer's losses and a count of each batch."""
    with hatchery.desk("staff", ENTER) as desk:
        for one in young:
            for month, stage, worst in ((6, "larvae", 40), (7, "fry", 30), (8, "fingerling", 12)):
                held = desk.known.find_batch(one.batch).balance()
                lost = held * hatchery.dice.randrange(2, worst) // 100
                if lost:
                    moved = max(hatchery.day(year, month), one.hatched)
                    enter(desk, TAKING, Taking(batch=one.batch, moved_on=moved, count=lost, stage=stage))
            held = desk.known.find_batch(one.batch).balance()
            counted = held * hatchery.dice.randrange(94, 104) // 100
            enter(
                desk,
                CENSUS,
                Census(
                    batch=one.batch,
                    moved_on=hatchery.day(year, 9, 8),
                    counted=counted,
                    method="weighed and counted",
                    uncertainty=counted // 25,
                    stage="fingerling",
                ),
            )


def release_most(hatchery: Hatchery, young: list[Young], year: int) -> None:
    """Release what is not kept for tagging."""
    with hatchery.desk("manager", RELEASE) as desk:
        for one in young:
            held = desk.known.find_batch(one.batch).balance()
            count = max(0, held - hatchery.dice.randrange(150, 400))
            if not count:
                continue
            place = hatchery.dice.choice(hatchery.told["release_places"])
            enter(
                desk,
                RELEASING,
                ReleaseMade(
                    number=hatchery.next(f"R{year % 100:02}"),
                    released_on=hatchery.day(year, 9, 25) + timedelta(days=8),
                    place=place["name"],
                    latitude=Decimal(place["latitude"]),
                    longitude=Decimal(place["longitude"]),
                    batches=(BatchPart(batch=one.batch, count=count),),
                    permit=f"BW/{year}/{hatchery.dice.randrange(1, 40):02}",
                    mark=hatchery.dice.choice(hatchery.told["marks"]),
                    mean_mass_g=Decimal(hatchery.dice.randrange(180, 600)) / 10,
                ),
            )


def tag_young(hatchery: Hatchery, stock: dict[str, Any], young: list[Young], year: int, each: int) -> list[str]:
    """Tag `each` fish of every batch of last season: a few become broodfish, the others' numbers are returned."""
    others: list[str] = []
    with hatchery.desk("staff", ENTER) as desk:
        for one in young:
            tagged = hatchery.day(year, 5, 30)
            fish = []
            for n in range(min(each, desk.known.find_batch(one.batch).balance())):
                number = hatchery.next(f"{stock['prefix']}{one.hatched.year % 100:02}")
                sex = "FM"[n % 2] if n < KEPT else "U"
                # Broodfish are sampled as they are tagged; now and then that was forgotten.
                sampled = n < KEPT and (len(hatchery.brood) + n) % FORGOTTEN != 0
                fish.append(
                    Admission(
                        number=number,
                        sex=sex,
                        hatched=Day(one.hatched),
                        tag=hatchery.code(year),
                        tagged_on=tagged,
                        unit=hatchery.dice.choice(stock["home"]),
                        tissue_sample=f"T-{number}" if sampled else "",
                    )
                )
            if fish:
                enter(desk, REGISTRATION, Registration(batch=one.batch, moved_on=tagged, fish=tuple(fish)))
            others += [one.number for one in fish[KEPT:]]
            for kept in fish[:KEPT]:
                hatchery.brood[kept.number] = Brood(
                    kept.number, stock["name"], kept.sex, one.hatched, one.generation, one.family, one.parents,
                    code=kept.tag,
                )  # fmt: skip
    return others
