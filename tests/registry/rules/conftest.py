"""A register in memory: two founders, their young, a tag, a family, a batch."""

from datetime import date
from decimal import Decimal

import pytest

from registry.rules.days import Day
from registry.rules.known import Known, KnownBatch, KnownFamily, KnownFish, KnownSpecies, KnownTag, Movement, Pair
from registry.rules.tags import TagCode

TODAY = date(2026, 3, 1)


@pytest.fixture
def known() -> Known:
    """F1 × M1 → family 10-1: young D1 (female) and S1 (male); M2 died in 2009; B1 holds 1,000 of 10-1."""
    found = Known(today=TODAY, units={"Tank 1"}, stocks={"Upper": "ruthenus", "Maroway": "oxyrinchus"})
    found.species = {
        "ruthenus": KnownSpecies("ruthenus", "Acipenser ruthenus", 1250, 16000, 5, 3),
        "oxyrinchus": KnownSpecies("oxyrinchus", "Acipenser oxyrinchus", 4300, 370000),
    }
    found.policy = {"max_pair_relationship": Decimal("0.25")}
    for number, sex in (("F1", "F"), ("M1", "M"), ("M2", "M")):
        found.add_fish(
            KnownFish(
                number, pk=1, species="ruthenus", stock="Upper", sex=sex, origin="wild", caught=Day(date(2000, 4, 1))
            )
        )
    found.fish["m2"].left, found.fish["m2"].left_on = "died", Day(date(2009, 1, 5))
    pairs = (Pair("F1", "M1"),)
    for number, sex in (("D1", "F"), ("S1", "M")):
        found.add_fish(
            KnownFish(
                number,
                pk=2,
                species="ruthenus",
                stock="Upper",
                sex=sex,
                origin="hatchery",
                hatched=Day(date(2010, 5, 9)),
                family="10-1",
                pairs=pairs,
            )
        )
    found.add_family(KnownFamily("10-1", 1, "Upper", pairs, has_cross=True))
    found.add_family(KnownFamily("11-1", 2, "Upper", pairs))
    found.add_tag(KnownTag(TagCode("iso", "985121004515220"), "F1", date(2000, 4, 2)))
    found.add_batch(
        KnownBatch("B1", 1, "Upper", date(2010, 5, 16), movements=[Movement(date(2010, 5, 16), 1, "open", 1000)])
    )
    return found
