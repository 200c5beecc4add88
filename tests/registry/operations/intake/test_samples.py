"""Samples: one number, one tube, one fish."""

from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import TissueSample
from registry.operations.fish import admit_fish
from registry.operations.intake.samples import take_sample
from registry.operations.shared.entries import Admission, Day
from registry.permissions import Actor
from registry.rules.intake.samples import SampleTaken
from tests.support.proof import ENTERING, only_those_who_may, refused, told

DAY = date(2011, 5, 3)


def taken(**changes: object) -> SampleTaken:
    whole = {"fish": "F1", "number": "T-1", "taken_on": DAY, "stored_at": "freezer 1", "second_tube": "Quern Mill"}
    return SampleTaken(**{**whole, **changes})


def test_a_sample_is_kept_with_its_number_and_both_places(river: SimpleNamespace, staff: Actor) -> None:
    row = take_sample(staff, taken(notes="left pectoral"))
    assert told() == ("staff", "sample taken", "fish F1", DAY, "test")
    assert (row.label, row.kind, row.stored_at, row.second_tube) == ("T-1", "fin clip", "freezer 1", "Quern Mill")


def test_a_sample_named_at_admission_is_a_sample_like_any_other(river: SimpleNamespace, staff: Actor) -> None:
    caught = Admission(number="F3", origin="wild", caught=Day(DAY), tissue_sample="T-9")
    admit_fish(staff, caught)
    assert list(TissueSample.objects.values_list("fish__number", "label", "taken_on")) == [("F3", "T-9", DAY)]
    with refused("Sample t-9 is on record of fish F3"):
        admit_fish(staff, Admission(number="F4", origin="wild", caught=Day(DAY), tissue_sample="t-9"))


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"number": ""}, "The number of the sample is missing"),
        ({"number": "T-0"}, "Sample T-0 is on record of fish F2. Read the tube again"),
        ({"fish": "F9"}, "There is no fish F9"),
        ({"taken_on": date(1999, 1, 1)}, "Fish F1 came 3 April 2000, after 1 January 1999"),
        ({"taken_on": date(2999, 1, 1)}, "lies in the future"),
    ],
)
def test_a_sample_that_cannot_stand_is_refused(
    changes: dict[str, object], why: str, river: SimpleNamespace, staff: Actor
) -> None:
    take_sample(staff, taken(fish="F2", number="T-0"))
    with refused(why):
        take_sample(staff, taken(**changes))


def test_both_tubes_in_one_place_ask_for_a_second_look(river: SimpleNamespace, staff: Actor) -> None:
    with refused("Both tubes are in one place"):
        take_sample(staff, taken(second_tube="Freezer 1"), confirmed=False)


def test_who_may_take_a_sample(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: take_sample(by, taken()))
