"""Fish taken in this spring at Quern Mill: two that may be Siberian sturgeon wait in quarantine, one may leave it."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from registry.demo.hatchery import Hatchery, enter
from registry.demo.photographs import photographed
from registry.operations.intake.arrivals import ARRIVAL
from registry.operations.intake.quarantine import QUARANTINE_RELEASE, START, set_quarantine_unit
from registry.operations.intake.treatments import TREATMENT
from registry.operations.young.batches import MARKING
from registry.permissions import END_QUARANTINE, ENTER, Actor
from registry.rules.days import Day
from registry.rules.fish import Admission
from registry.rules.intake.arrivals import Arrival
from registry.rules.intake.captures import WAYS, CaptureMade, HealthSeen, MarkLooked
from registry.rules.intake.checks import Measurement
from registry.rules.intake.photos import PhotoTaken
from registry.rules.intake.quarantine import QuarantineRelease, QuarantineStart, QuarantineUnitSet
from registry.rules.intake.samples import SampleTaken
from registry.rules.intake.treatments import TreatmentGiven
from registry.rules.tagging import BatchMarking

DOUBT: dict[str, Any] = {"species": "baerii", "confidence": "doubtful", "origin": "unknown", "stock": ""}
STERLET: dict[str, Any] = {"species": "ruthenus", "confidence": "field", "origin": "wild", "stock": "Upper Isendre"}
VIEWS = ("dorsal", "left", "ventral head")


def mark_quarantine(by: Actor, units: list[str]) -> None:
    """Mark the units that serve for quarantine."""
    for unit in units:
        set_quarantine_unit(by, QuarantineUnitSet(unit=unit, day=date(1994, 1, 1)))


def fill_quarantine(hatchery: Hatchery, batch: str, year: int) -> None:
    """Take three fish in, and keep a batch apart."""
    take_fish_in(hatchery, year)
    keep_batch_apart(hatchery, batch, year)


def take_fish_in(hatchery: Hatchery, year: int) -> None:
    """Take three fish in; the veterinarian ends the quarantine of the one that is a sterlet beyond doubt."""
    first, second = hatchery.told["quarantine"]
    came = [
        (DOUBT, "F", datetime(year, 5, 6, 4, 20, tzinfo=UTC), 940, 4100, 44, first),
        (DOUBT, "U", datetime(year, 5, 6, 5, 5, tzinfo=UTC), 780, 2150, 47, first),
        (STERLET, "M", datetime(year, 5, 9, 21, 40, tzinfo=UTC), 640, 1120, 62, second),
    ]
    numbers = []
    with hatchery.desk("staff", ENTER) as desk:
        for kind, sex, at, length, mass, scutes, unit in came:
            number = hatchery.next(f"W{year % 100:02}")
            numbers.append(number)
            entry = _arrival(hatchery, number, at, length, mass)
            # The permit of the broodfish covers sterlet only; what else the net held came under another.
            permit = f"BW/{year - 2}/3" if kind is STERLET else f"BW/{year}/R7"
            entry = replace(
                entry,
                admission=replace(entry.admission, sex=sex, **kind),
                capture=replace(entry.capture, permit=permit),
                photos=tuple(_photo(number, view, scutes, at) for view in VIEWS),
                quarantine=QuarantineStart(fish=number, unit=unit, since=at.date(), reason="intake"),
            )
            enter(desk, ARRIVAL, entry)
        enter(desk, TREATMENT, _treated(numbers[1], date(year, 5, 8)))
    with hatchery.desk("manager", END_QUARANTINE) as desk:
        enter(
            desk,
            QUARANTINE_RELEASE,
            QuarantineRelease(
                fish=numbers[2],
                until=date(year, 6, 12),
                released_by="veterinarian, licence on file",
                findings="Two swabs three weeks apart without virus, report on file; no parasites seen.",
            ),
        )


def keep_batch_apart(hatchery: Hatchery, number: str, year: int) -> None:
    """Keep a marked batch with sores apart in the second quarantine unit; treated, it waits for the veterinarian."""
    since = date(year, 10, 12)
    start = QuarantineStart(batch=number, unit=hatchery.told["quarantine"][1], since=since, reason="sores on the fins")
    marked = BatchMarking(batch=number, kind="fin clip", detail="left pelvic fin", marked_on=since - timedelta(days=20))
    with hatchery.desk("staff", ENTER) as desk:
        enter(desk, MARKING, marked)
        enter(desk, START, start)
        enter(desk, TREATMENT, replace(_treated("", since), fish="", batch=number))


def _arrival(hatchery: Hatchery, number: str, at: datetime, length: int, mass: int) -> Arrival:
    place = hatchery.told["release_places"][0]
    day = at.date()
    return Arrival(
        admission=Admission(
            number=number, caught=Day(day), caught_at=place["name"], tag=hatchery.code(day.year), tagged_on=day,
            tag_site="left of the dorsal fin", origin="unknown",
        ),
        capture=CaptureMade(
            fish=number, caught_at=at, zone="UTC", place=place["name"], latitude=Decimal(place["latitude"]),
            longitude=Decimal(place["longitude"]), uncertainty_m=100, river_km=Decimal("31.5"),
            gear="drift net, 70 mm mesh", crew="crew leader, hatchery staff", transport="1 in 400 L",
            transport_minutes=55, density_kg_m3=Decimal(8), oxygen_mg_l=Decimal("8.1"),
        ),
        marks=tuple(MarkLooked(way=way, looked=way != "wire") for way in WAYS),
        measurement=Measurement(
            fish=number, checked_on=day, total_length_mm=Decimal(length), fork_length_mm=Decimal(length * 9 // 10),
            girth_mm=Decimal(length * 38 // 100), mass_g=Decimal(mass),
        ),
        health=HealthSeen(fish=number, looked_on=day, score=4, injuries="net marks on the snout"),
        samples=(
            SampleTaken(
                fish=number, number=f"T-{number}", taken_on=day, stored_at="freezer 2, box 14",
                second_tube="Brackenholt Weir, freezer 1, box 3",
            ),
            SampleTaken(fish=number, number=f"V-{number}", taken_on=day, kind="swab", stored_at="at the laboratory"),
        ),
    )  # fmt: skip


def _photo(number: str, view: str, scutes: int, at: datetime) -> PhotoTaken:
    laid = photographed(view, scutes, at + timedelta(minutes=20))
    return PhotoTaken(
        fish=number, view=view, taken_on=at.date(), original=laid.original.sha256, original_name=laid.original.name,
        picture=laid.picture.sha256, width=laid.width, height=laid.height, scale_shown=True,
        place_removed=laid.had_place,
    )  # fmt: skip


def _treated(number: str, day: date) -> TreatmentGiven:
    return TreatmentGiven(
        fish=number, given_on=day, product="antiparasitic bath, as prescribed", product_batch="as on the label",
        amount="as written on the prescription", prescriber="veterinarian, licence on file", prescription="26-058",
        withdrawal_until=day + timedelta(days=270), notes="The label gives the waiting time.",
    )  # fmt: skip
