"""Which fish is which: one fish entered twice, a code given out twice, a fish that may be another."""

from datetime import date
from decimal import Decimal

from registry.demo.broodfish import living
from registry.demo.hatchery import Brood, Hatchery, enter
from registry.operations.checks import MEASUREMENT
from registry.operations.fish import ADMISSION
from registry.operations.identity.joining import join_numbers
from registry.operations.tags import TAG_END
from registry.permissions import ENTER
from registry.queries.identity.candidates import candidates
from registry.rules.days import Day
from registry.rules.fish import Admission
from registry.rules.identity.joining import Joining
from registry.rules.identity.likeness import Seen
from registry.rules.intake.checks import Measurement
from registry.rules.tagging import TagEnd

Twice = tuple[str, str]


def mistake_fish(hatchery: Hatchery, year: int) -> None:
    """Enter one fish twice and prove it, meet one code on two fish, and hold a fish apart from one without a tag."""
    prove_one(hatchery, enter_twice(hatchery, 2010), 2012)
    meet_a_code_twice(hatchery, year)
    hold_apart(hatchery, year)


def enter_twice(hatchery: Hatchery, year: int) -> Twice:
    """A male loses his tag, is taken for a new fish out of the river, and is measured under his second number."""
    first = next(fish for fish in living(hatchery, "Lower Isendre") if fish.sex == "M" and fish.code)
    second, found = hatchery.next(f"LI{year % 100:02}"), date(year, 9, 14)
    with hatchery.desk("staff", ENTER) as desk:
        lost = TagEnd(code=first.code, ended_on=date(year, 9, 1), end_reason="lost", evidence="no reading, twice")
        enter(desk, TAG_END, lost)
        new = Admission(
            number=second,
            species="ruthenus",
            stock=first.stock,
            sex="M",
            origin="wild",
            caught=Day(found),
            caught_at="the outlet of Pond B",
            tag=hatchery.code(year),
            tagged_on=found,
            unit="Pond B",
            notes="No tag found. Taken for a fish that came in from the river.",
        )
        enter(desk, ADMISSION, new)
        seen = Measurement(fish=second, checked_on=found, total_length_mm=Decimal(655), sex_found="M", stage="II")
        enter(desk, MEASUREMENT, seen)
    return first.number, second


def prove_one(hatchery: Hatchery, twice: Twice, year: int) -> None:
    """Genotypes show that both numbers are one fish."""
    first, second = twice
    join_numbers(
        hatchery.people["manager"],
        Joining(
            kept=first,
            other=second,
            proved_on=date(year, 3, 20),
            evidence="genotype",
            reason="Both fin clips give the same genotype at 17 loci; the scutes on the left side agree, photographed.",
            choices={"caught": "kept", "origin": "kept", "stays": "other"},
        ),
    )


def meet_a_code_twice(hatchery: Hatchery, year: int) -> None:
    """A fish out of the net bears a code that a fish in the tanks bears: set aside, and the night goes on."""
    holder: Brood = [fish for fish in living(hatchery, "Upper Isendre") if fish.code][4]
    caught = date(year, 10, 21)
    with hatchery.desk("staff", ENTER) as desk:
        fish = Admission(
            number=hatchery.next(f"X{year % 100:02}"),
            species="ruthenus",
            sex="M" if holder.sex == "F" else "F",
            caught=Day(caught),
            caught_at="Stony Reach",
            tag=holder.code,
            tagged_on=caught,
            unit="QM 2",
            set_aside=f"40 cm and of the other sex; {holder.number} was read in its tank the same day",
        )
        enter(desk, ADMISSION, fish)


def hold_apart(hatchery: Hatchery, year: int) -> None:
    """A fish without a tag may be the one that lost its own last autumn; who looked held it to be another."""
    caught = date(year, 10, 28)
    seen = Seen(on=caught, species="ruthenus", sex="F", unit="Tank 1")
    offered = tuple((one.number, one.in_words) for one in candidates(seen)[:1])
    with hatchery.desk("staff", ENTER) as desk:
        fish = Admission(
            number=hatchery.next(f"X{year % 100:02}"),
            species="ruthenus",
            sex="F",
            caught=Day(caught),
            caught_at="Stony Reach",
            unit="Tank 1",
            notes="No tag found. Scar behind the left pectoral fin.",
            held_apart=offered,
        )
        enter(desk, ADMISSION, fish)
