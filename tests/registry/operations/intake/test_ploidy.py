"""Ploidy as it was measured: told on the fish, and what is odd is not bred from."""

from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import Fish, PloidyFound
from registry.operations.intake.corrections import TakenBack, take_back
from registry.operations.intake.ploidy import record_ploidy
from registry.permissions import Actor
from registry.queries.intake.ploidy import sets_of
from tests.support.care import ploidy
from tests.support.proof import ENTERING, only_those_who_may, refused, told

DAY = date(2011, 5, 3)


def sets(number: str = "F1") -> int | None:
    key = Fish.objects.get(number=number).pk
    return sets_of([key]).get(key)


def test_the_latest_measurement_goes_before_the_earlier_one(
    river: SimpleNamespace, staff: Actor, manager: Actor
) -> None:
    record_ploidy(staff, ploidy("F1"))
    assert told() == ("staff", "ploidy measured", "fish F1", DAY, "test")
    # A second polar body that is kept makes 3 sets of 2 (Havelka et al. 2016: progeny of 1.5 times the ploidy).
    triploid = record_ploidy(staff, ploidy("F1", 3, measured_on=date(2012, 5, 3)))
    record_ploidy(staff, ploidy("F1", measured_on=date(2010, 5, 3)))
    assert sets() == 3
    take_back(manager, TakenBack(record=triploid, reason="another fish"))
    assert sets() == 2
    assert PloidyFound.objects.count() == 3


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"fish": "F9"}, "There is no fish F9 in the register."),
        ({"sets": 0}, "0 chromosome sets cannot be. Write a number from 1 to 16, as the report has it."),
        ({"sets": 120}, "120 chromosome sets cannot be."),
        ({"method": "by eye"}, "“by eye” is not one of flow cytometry"),
        ({"dna_pg": -1}, "-1 pg is no DNA content."),
        ({"by": " "}, "Name the laboratory or the role of who measured"),
        ({"measured_on": date(1999, 1, 1)}, "Fish F1 came 3 April 2000, after 1 January 1999"),
    ],
)
def test_what_cannot_be_measured(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    entry = {"fish": "F1", "sets": 2} | changes
    with refused(sentence):
        record_ploidy(staff, ploidy(**entry))


def test_what_is_not_the_ploidy_of_the_species_is_asked_about(river: SimpleNamespace, staff: Actor) -> None:
    with refused("3 chromosome sets, where the species has 2 in function. It will be left out of every plan."):
        record_ploidy(staff, ploidy("F1", 3), confirmed=False)
    # Reports may count by the evolutionary name, twice as many (Symonova: 4n of the 120-chromosome species).
    with refused("Make sure that the report counts as the register does, and not by the evolutionary name"):
        record_ploidy(staff, ploidy("F1", 4), confirmed=False)


def test_who_may_enter_it(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: record_ploidy(by, ploidy("F1")))
