"""Releases in spring: what was left of last year's batches, and the tagged young of the year before."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from registry.demo.hatchery import Hatchery, enter
from registry.demo.seasons import Young
from registry.operations.young.batches import MARKING
from registry.operations.young.releases import RELEASING
from registry.permissions import ENTER, RELEASE
from registry.rules.tagging import BatchMarking
from registry.rules.young.releases import BatchPart, ReleaseMade


def release_in_spring(
    hatchery: Hatchery, stock: dict[str, Any], batches: list[Young], tagged: list[str], year: int
) -> None:
    """Release the rest of the batches, and the tagged fish of the year before, in one go."""
    held = [(one.batch, hatchery.known.find_batch(one.batch).balance()) for one in batches]
    parts = tuple(BatchPart(batch=number, count=count) for number, count in held if count)
    if not parts and not tagged:
        return
    place = hatchery.dice.choice(hatchery.told["release_places"])
    mass = Decimal(hatchery.dice.randrange(900, 2500)) / 10
    freed = hatchery.day(year, 7, 20)
    _mark(hatchery, parts, freed - timedelta(days=4))
    with hatchery.desk("manager", RELEASE) as desk:
        enter(
            desk,
            RELEASING,
            ReleaseMade(
                number=hatchery.next(f"R{year % 100:02}"),
                released_on=freed,
                place=place["name"],
                latitude=Decimal(place["latitude"]),
                longitude=Decimal(place["longitude"]),
                batches=parts,
                fish=tuple(tagged),
                permit=f"BW/{year}/{40 + hatchery.dice.randrange(20)}",
                mark="PIT" if tagged else "elastomer green right",
                mean_mass_g=mass,
                notes=f"Yearlings of {stock['name']}.",
            ),
        )


def _mark(hatchery: Hatchery, parts: tuple[BatchPart, ...], day: date) -> None:
    """Mark the fish some days before they go."""
    with hatchery.desk("staff", ENTER) as desk:
        for part in parts:
            how = {"kind": "elastomer", "detail": "green, right side", "count": part.count}
            enter(desk, MARKING, BatchMarking(batch=part.batch, marked_on=day, **how))
