"""Intake: wild fish caught over the first decade, and some whose species is in doubt."""

from decimal import Decimal

from registry.demo.hatchery import Brood, Hatchery, enter
from registry.models import FishDetails
from registry.operations.catalogue import relate_founders
from registry.operations.fish import ADMISSION
from registry.permissions import ENTER
from registry.queries.pedigree import breeders
from registry.rules.days import Day
from registry.rules.fish import Admission
from registry.rules.inheritance import FoundersRelated, KinshipGiven


def catch_founders(hatchery: Hatchery, year: int) -> None:
    """Admit this year's wild fish of every stock."""
    with hatchery.desk("staff", ENTER) as desk:
        for stock in hatchery.told["stocks"]:
            for sex in _caught(stock, year):
                number = hatchery.next(f"{stock['prefix']}{year % 100:02}")
                caught, code = hatchery.day(year, 4, 180), hatchery.code(year)
                enter(
                    desk,
                    ADMISSION,
                    Admission(
                        number=number,
                        species=stock["species"],
                        stock=stock["name"],
                        sex=sex,
                        origin="wild",
                        caught=Day(caught),
                        caught_at=hatchery.dice.choice(hatchery.told["release_places"])["name"],
                        tag=code,
                        tagged_on=caught,
                        tag_site="left of the dorsal fin",
                        unit=hatchery.dice.choice(stock["home"]),
                        tissue_sample=f"T-{number}",
                    ),
                )
                born = caught.replace(year=year - stock["age_f"])
                hatchery.brood[number] = Brood(number, stock["name"], sex, born, 0, code=code)


def _caught(stock: dict, year: int) -> list[str]:
    """Return the sexes of the founders caught that year: all of them spread over the years of intake."""
    if not stock["from"] <= year <= stock["until"]:
        return []
    years = stock["until"] - stock["from"] + 1
    done = (year - stock["from"]) * stock["founders"] // years
    upto = (year - stock["from"] + 1) * stock["founders"] // years
    return ["F" if n % 2 == 0 else "M" for n in range(done, upto)]


def catch_doubtful(hatchery: Hatchery, year: int) -> None:
    """Admit three fish that may be Siberian sturgeon; none of them enters a cross."""
    with hatchery.desk("staff", ENTER) as desk:
        for sex in ("M", "F", "U"):
            caught = hatchery.day(year, 5, 60)
            enter(
                desk,
                ADMISSION,
                Admission(
                    number=hatchery.next(f"X{year % 100:02}"),
                    species="baerii",
                    confidence="doubtful",
                    sex=sex,
                    origin="unknown",
                    caught=Day(caught),
                    caught_at="Stony Reach",
                    tag=hatchery.code(year),
                    tagged_on=caught,
                    unit="QM cage",
                    notes="White fin seams missing, few body-coloured lateral scutes. Genetic test asked for.",
                ),
            )


def relate_unbred_founders(hatchery: Hatchery) -> None:
    """Let the geneticist enter that the first two founders without young, found alike by markers, are related."""
    stock = hatchery.told["stocks"][1]["name"]
    living = FishDetails.objects.current().filter(stock__name=stock, parentage__isnull=True, left="")
    unbred = living.exclude(fish__in=breeders()).order_by("fish__number").values_list("fish__number", flat=True)[:2]
    if len(unbred) == 2:
        pair = KinshipGiven(one=unbred[0], other=unbred[1], kinship=Decimal("0.125"))
        entry = FoundersRelated(stock=stock, source=hatchery.told["why_related"], pairs=(pair,))
        relate_founders(hatchery.people["geneticist"], entry)
