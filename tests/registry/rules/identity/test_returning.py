"""A fish that left comes back: which one it is must be known, and the dead do not return."""

from dataclasses import replace
from datetime import date

import pytest

from registry.rules.days import Day
from registry.rules.identity.returning import FishReturn, objections_to_return
from registry.rules.known import Known
from registry.rules.tags import TagCode

OWN = TagCode("iso", "985121004515220")
BACK = FishReturn(fish="F1", returned_on=date(2020, 5, 3), unit="Tank 1", code=OWN)


@pytest.fixture
def left(known: Known) -> Known:
    known.fish["f1"].left, known.fish["f1"].left_on = "missing", Day(date(2019, 1, 5))
    return known


def codes(known: Known, **changes: object) -> list[str]:
    return [o.code for o in objections_to_return(replace(BACK, **changes), known)]


def test_its_own_tag_proves_which_fish_it_is(left: Known) -> None:
    assert codes(left) == []


def test_without_it_the_evidence_is_named(left: Known) -> None:
    assert codes(left, code=None) == ["no_evidence"]
    assert codes(left, code=None, known_by="photograph") == []
    assert codes(left, code=TagCode("iso", "900123456789012"), known_by="genotype") == []


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"fish": "F77"}, "unknown_fish"),
        ({"fish": "D1", "known_by": "genotype", "code": None}, "never_left"),
        ({"fish": "M2", "known_by": "genotype", "code": None}, "already_left"),
        ({"returned_on": date(2018, 1, 1)}, "out_before_in"),
        ({"returned_on": date(2027, 1, 1)}, "future_date"),
        ({"unit": "Tank 99"}, "unknown_unit"),
    ],
)
def test_what_cannot_have_come_back_is_refused(left: Known, changes, code) -> None:
    assert codes(left, **changes) == [code]


def test_a_code_of_another_fish_is_no_proof(left: Known) -> None:
    left.fish["s1"].left, left.fish["s1"].left_on = "missing", Day(date(2019, 1, 5))
    assert codes(left, fish="S1", known_by="photograph") == ["duplicate_code"]
