"""Releases in spring: what was left of last year's batches, and the tagged young of the year before."""

from decimal import Decimal
from typing import Any

from registry.demo.hatchery import Hatchery, enter
from registry.demo.seasons import Young
from registry.operations.young.releases import RELEASING
from registry.permissions import RELEASE
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
    with hatchery.desk("manager", RELEASE) as desk:
        enter(
            desk,
            RELEASING,
            ReleaseMade(
                number=hatchery.next(f"R{year % 100:02}"),
                released_on=hatchery.day(year, 7, 20),
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
