"""The broodfish through the year: who lives, who is mature, spring and autumn checks, winter deaths."""

from datetime import date
from decimal import Decimal
from typing import Any

from registry.demo.hatchery import Brood, Hatchery, enter
from registry.operations.checks import MEASUREMENT
from registry.operations.fish import DEPARTURE
from registry.operations.intake.ploidy import PLOIDY
from registry.permissions import ENTER
from registry.rules.days import Day
from registry.rules.intake.checks import Measurement
from registry.rules.intake.moves import Departure
from registry.rules.intake.ploidy import PloidyMeasured

# So many of each sex are measured.
MEASURED = 4


def living(hatchery: Hatchery, stock: str) -> list[Brood]:
    """Return the stock's living broodfish."""
    return [b for b in hatchery.brood.values() if b.stock == stock and not hatchery.known.find_fish(b.number).left]


def mature(hatchery: Hatchery, stock: dict[str, Any], year: int) -> tuple[list[Brood], list[Brood]]:
    """Return mature females and males, those used least first."""
    grown = [
        b
        for b in living(hatchery, stock["name"])
        if year - b.born.year >= (stock["age_f"] if b.sex == "F" else stock["age_m"])
        and hatchery.known.find_fish(b.number).came.first.year < year
    ]
    # The youngest mature generation is bred first: the scheme turns over about once in `generation_years`.
    grown.sort(key=lambda b: (b.uses, -b.generation, b.number))
    return [b for b in grown if b.sex == "F"], [b for b in grown if b.sex == "M"]


def spring_checks(hatchery: Hatchery, stock: dict[str, Any], year: int) -> None:
    """Measure the broodfish; those that are mature are staged."""
    with hatchery.desk("staff", ENTER) as desk:
        for fish in living(hatchery, stock["name"]):
            age = year - fish.born.year
            length = stock["largest_mm"] * (1 - 2.718 ** (-stock["growth"] * (age + 1)))
            length *= 1 + hatchery.dice.uniform(-0.04, 0.04)
            mass = stock["condition"] * length**3 * (1 + hatchery.dice.uniform(-0.1, 0.1))
            checked = max(hatchery.day(year, 3, 20), hatchery.known.find_fish(fish.number).came.first)
            enter(
                desk,
                MEASUREMENT,
                Measurement(
                    fish=fish.number,
                    checked_on=checked,
                    total_length_mm=Decimal(round(length)),
                    mass_g=Decimal(round(mass)),
                    sex_found=fish.sex,
                    stage=_stage(hatchery, stock, fish, age),
                    method="ultrasound",
                ),
            )


def autumn_checks(hatchery: Hatchery, year: int) -> None:
    """Sort the mature broodfish in October, who will be ripe next spring; have the ploidy of some measured."""
    with hatchery.desk("staff", ENTER) as desk:
        for stock in hatchery.told["stocks"]:
            for fish in (b for sex in mature(hatchery, stock, year + 1) for b in sex[:40]):
                stage = _stage(hatchery, stock, fish, year + 1 - fish.born.year)
                checked = hatchery.day(year, 10, 20)
                found = Measurement(
                    fish=fish.number, checked_on=checked, sex_found=fish.sex, stage=stage, method="ultrasound"
                )
                enter(desk, MEASUREMENT, found)
    _measure_ploidy(hatchery, year)


def _measure_ploidy(hatchery: Hatchery, year: int) -> None:
    """Have the ploidy of some broodfish measured before their first cross; one of them is a triploid."""
    with hatchery.desk("staff", ENTER) as desk:
        for stock in hatchery.told["stocks"]:
            females, males = mature(hatchery, stock, year + 1)
            fresh = [b for b in (*females[:MEASURED], *males[:MEASURED]) if b.uses == 0 and b.family]
            for fish in fresh:
                odd = stock["prefix"] == "LI" and fish is fresh[-1]
                found = PloidyMeasured(
                    fish=fish.number, measured_on=date(year, 10, 30), sets=3 if odd else 2,
                    method="flow cytometry", by=f"laboratory at Quern Mill, report {year}-41",
                )  # fmt: skip
                enter(desk, PLOIDY, found)


def _stage(hatchery: Hatchery, stock: dict[str, Any], fish: Brood, age: int) -> str:
    if age < (stock["age_f"] if fish.sex == "F" else stock["age_m"]):
        return "II"
    return hatchery.dice.choice(["III", "IV", "IV"] if fish.sex == "F" else ["IV", "V"])


def winter_deaths(hatchery: Hatchery, stock: dict[str, Any], year: int) -> None:
    """A few broodfish die every winter, more of the old."""
    with hatchery.desk("staff", ENTER) as desk:
        for fish in living(hatchery, stock["name"]):
            if hatchery.dice.random() < 0.015 + 0.002 * (year - fish.born.year):
                died = Day(hatchery.day(year, 12, 28))
                enter(desk, DEPARTURE, Departure(fish=fish.number, left="died", left_on=died))
