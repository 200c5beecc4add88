"""A register as large as a river's hatchery ever gets: the demo, then decades more through the journal's own door."""

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.core.management import call_command
from django.db import connection

from registry.demo.build import build_demo
from registry.journal.write import Door, door
from registry.models import (
    Account,
    Batch,
    Check,
    Cross,
    CrossSire,
    Family,
    FamilyParents,
    Fish,
    FishDetails,
    HoldingUnit,
    JournalEntry,
    Parentage,
    ParentPair,
    Recapture,
    Release,
    ReleaseDetails,
    Role,
    Spawning,
    Stay,
    Stock,
    Tag,
    Transfer,
)
from registry.permissions import ENTER, Actor

IN_A_FAMILY, RELEASED, FAMILIES_A_NIGHT = 50, 36, 8
FIRST_YEAR, LAST_YEAR = 1986, 2025
BY = Actor(None, "benchmark", frozenset({Role.STAFF}), "benchmark")


@dataclass
class River:
    """What the families share while they are written."""

    stock: Stock
    units: list[HoldingUnit]
    ends: dict[str, Account]
    checks: int
    dice: random.Random = field(default_factory=lambda: random.Random(1))
    breeders: list[tuple[int, Fish, Fish]] = field(default_factory=list)
    code: int = 0


def ensure(fish: int, entries: int) -> Iterator[str]:
    """Bring the data folder up to date, and build the register there unless it holds one already."""
    call_command("prepare", verbosity=0)
    if not JournalEntry.objects.exists():
        yield from build(fish, entries)


def build(fish: int, entries: int) -> Iterator[str]:
    """Fill an empty database with about so many fish and at least so many entries; say how far it is, now and then."""
    build_demo(tell=lambda _season: None)
    yield "the demo is built"
    families = max(1, (fish - Fish.objects.count()) // IN_A_FAMILY)
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA synchronous = OFF")
    river = _open(entries // (families * IN_A_FAMILY) + 1)
    for n in range(families):
        year = FIRST_YEAR + n * (LAST_YEAR - FIRST_YEAR + 1) // families
        with door(BY, ENTER) as opened:
            _family(river, opened, n, year)
        if n % 100 == 99:
            yield f"{n + 1} of {families} families"
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE" if connection.vendor == "postgresql" else "PRAGMA optimize = 0x10002")
    yield f"{Fish.objects.count()} fish, {JournalEntry.objects.count()} entries"


def _open(checks: int) -> River:
    stock = Stock.objects.get(name="Lower Isendre")
    ends = {}
    with door(BY, ENTER) as opened:
        for kind in Account.Kind.values:
            if kind not in ("batch", "family"):
                held = Account.objects.filter(kind=kind).first()
                ends[kind] = held or opened.open("account opened", kind).add(Account(kind=kind))
        river = River(stock, list(HoldingUnit.objects.all()), ends, checks)
        for n in range(24):
            pair = [_founder(river, opened, f"{sex}0-{n:03}", sex) for sex in "FM"]
            river.breeders.append((0, *pair))
    return river


def _founder(river: River, opened: Door, number: str, sex: str) -> Fish:
    caught = date(FIRST_YEAR - 3, 5, 1)
    made = opened.open("fish admitted", f"fish {number}", happened_at=caught)
    fish = made.add(Fish(number=number))
    made.add(_details(river, fish, sex=sex, origin="wild", caught_on=caught, caught_precision="day"))
    return fish


def _details(river: River, fish: Fish, **more: Any) -> FishDetails:
    return FishDetails(fish=fish, species_id=river.stock.species_id, stock=river.stock, **more)


def _family(river: River, opened: Door, n: int, year: int) -> None:
    """One family from the night of its cross to the last check of its fish."""
    night = date(year, 4, 20) + timedelta(days=n % 30)
    family, parentage = _cross(river, opened, n, night)
    batch, account = _batch(river, opened, n, night + timedelta(days=7), family)
    tagged = night + timedelta(days=380)
    born = {"hatched_on": night + timedelta(days=7), "hatched_precision": "day", "origin": "hatchery"}
    made = opened.open("fish registered from batch", f"batch {batch.number}", happened_at=tagged)
    fish, details, stays = [], [], []
    for k in range(IN_A_FAMILY):
        fish.append(made.add(Fish(number=f"N{n:04}-{k:02}")))
        more = {"family": family, "from_batch": batch, "parentage": parentage}
        details.append(made.add(_details(river, fish[-1], sex="FMU"[min(2, k % 5)], **born, **more)))
        river.code += 1
        made.add(Tag(fish=fish[-1], system="iso", code=f"756{river.code:012}", attached_on=tagged, site="left side"))
        stays.append(made.add(Stay(unit=river.dice.choice(river.units), fish=fish[-1], since=tagged)))
    _move(river, made, "register", account, "registered", IN_A_FAMILY, tagged)
    _checks(river, opened, fish, tagged)
    if year < LAST_YEAR - 1:
        _release(river, opened, n, (batch, account), list(zip(fish, details, stays, strict=True))[:RELEASED], tagged)
    river.breeders.append((year, fish[-5], fish[-4]))


def _cross(river: River, opened: Door, n: int, night: date) -> tuple[Family, Parentage]:
    old = [pair for pair in river.breeders if pair[0] <= night.year - 9]
    dam, sire = river.dice.choice(old)[1], river.dice.choice(old)[2]
    if n % FAMILIES_A_NIGHT == 0:
        made = opened.open("spawning recorded", f"spawning N{n:04}", happened_at=night)
        spawning = made.add(Spawning(number=f"N{n:04}", stock=river.stock, spawned_on=night, water_c=Decimal("13.5")))
    else:
        spawning = Spawning.objects.filter(number__startswith="N").order_by("-pk")[0]
        made = opened.open("spawning recorded", f"spawning {spawning.number}", happened_at=night)
    family = made.add(Family(number=f"N{n:04}", stock=river.stock))
    parentage = made.add(Parentage(basis="recorded"))
    made.add(ParentPair(parentage=parentage, dam=dam, sire=sire, probability=Decimal(1)))
    made.add(FamilyParents(family=family, parentage=parentage))
    cross = made.add(Cross(spawning=spawning, family=family, dam=dam, egg_mass_g=Decimal(400), eggs_per_g=Decimal(60)))
    made.add(CrossSire(cross=cross, sire=sire, share=Decimal(1), motility_percent=Decimal(80)))
    return family, parentage


def _batch(river: River, opened: Door, n: int, day: date, family: Family) -> tuple[Batch, Account]:
    made = opened.open("batch opened", f"batch N{n:04}", happened_at=day)
    batch = made.add(Batch(number=f"N{n:04}", stock=river.stock, opened_on=day))
    account = made.add(Account(kind="batch", batch=batch))
    eggs = made.add(Account(kind="family", family=family))
    made.add(Stay(unit=river.dice.choice(river.units), batch=batch, since=day))
    made.add(Transfer(event="open", moved_on=day, from_account=eggs, to_account=account, count=9_000, stage="larvae"))
    made.move(eggs, -9_000)
    made.move(account, 9_000)
    for week in range(1, 9):
        made = opened.open("loss recorded", f"batch {batch.number}", happened_at=day + timedelta(days=7 * week))
        _move(river, made, "loss", account, "loss", river.dice.randrange(50, 400), day + timedelta(days=7 * week))
    return batch, account


def _move(river: River, made: Any, event: str, source: Account, end: str, count: int, day: date, **more: Any) -> None:
    target = river.ends[end]
    made.add(Transfer(event=event, moved_on=day, from_account=source, to_account=target, count=count, **more))
    made.move(source, -count)
    made.move(target, count)


def _checks(river: River, opened: Door, fish: list[Fish], tagged: date) -> None:
    """Every fish is in hand as often as the wanted number of entries asks; the last of the last years are ripe."""
    for one in fish:
        for k in range(river.checks):
            day = min(tagged + timedelta(days=60 * k), date(LAST_YEAR, 12, 1))
            made = opened.open("fish measured", f"fish {one.number}", happened_at=day)
            size = {"total_length_mm": Decimal(200 + 30 * k), "mass_g": Decimal(100 + 90 * k)}
            stage = river.dice.choice(["II", "III", "IV", "V"]) if k == river.checks - 1 else ""
            made.add(Check(fish=one, checked_on=day, **size, stage=stage, method="by hand"))


def _release(river: River, opened: Door, n: int, held: tuple[Batch, Account], gone: list[Any], tagged: date) -> None:
    """Most of the family's tagged fish and a part of its batch go into the river; two are met again."""
    day = tagged + timedelta(days=700)
    opened.write_rows()
    made = opened.open("fish released", f"release N{n:04}", happened_at=day)
    for _, details, stay in gone:
        made.withdraw(details)
        made.end(stay, until=day)
    release = made.add(Release(number=f"N{n:04}", released_on=day))
    made.add(ReleaseDetails(release=release, place="Stony Reach", permit=f"BW/{day.year}/{n}", mark="PIT"))
    _move(river, made, "release", held[1], "released", 500, day, release=release)
    for _, old, _ in gone:
        names = [
            field.attname for field in FishDetails._meta.concrete_fields if field.attname not in ("id", "entry_id")
        ]
        kept = {name: getattr(old, name) for name in names} | {"withdrawn_id": None}
        left = {"left": "released", "left_on": day, "left_precision": "day"}
        made.add(FishDetails(**kept | left, release=release))
    for k, (fish, _, _) in enumerate(gone[:2]):
        number, met = f"C{n:04}-{k}", day + timedelta(days=200 + k)
        made = opened.open("fish recaptured", f"fish {fish.number}", happened_at=met)
        made.add(
            Recapture(
                number=number, recaptured_on=met, place="Gulf of Maroway", fish=fish, release=release, link="certain"
            )
        )
