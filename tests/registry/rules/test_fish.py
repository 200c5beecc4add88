"""What may be entered of a fish."""

from datetime import date

from registry.rules.days import Day
from registry.rules.fish import Admission, objections_to_admission
from registry.rules.intake.moves import Departure, objections_to_departure
from registry.rules.known import Known, Pair
from registry.rules.tags import TagCode

WILD = {"species": "ruthenus", "stock": "Upper", "sex": "F", "origin": "wild", "caught": Day(date(2020, 4, 1))}


def codes(known: Known, **entry: object) -> list[str]:
    return [o.code for o in objections_to_admission(Admission(**{"number": "N1", **WILD, **entry}), known)]


def test_a_wild_fish_with_number_day_and_stock_is_taken(known: Known) -> None:
    assert codes(known) == []


def test_a_register_number_is_never_used_twice_whatever_the_case(known: Known) -> None:
    found = objections_to_admission(Admission(number="f1", **WILD), known)
    assert [o.message for o in found] == [
        "Number f1 is already another fish. Numbers are never used twice: take another."
    ]


def test_a_fish_without_number_is_refused(known: Known) -> None:
    assert codes(known, number="") == ["missing_id"]


def test_all_that_is_wrong_is_said_at_once(known: Known) -> None:
    wrong = codes(known, sex="x", origin="moon", unit="Tank 9", stock="Nowhere", caught=Day(date(2031, 1, 1)))
    assert set(wrong) == {"bad_sex", "bad_origin", "unknown_unit", "bad_stock", "future_date"}


def test_a_stock_holds_one_species(known: Known) -> None:
    assert codes(known, stock="Maroway") == ["wrong_species"]


def test_a_fish_does_not_die_before_it_came(known: Known) -> None:
    assert codes(known, left="died", left_on=Day(date(2019, 12, 31))) == ["death_before_hatch"]


def test_a_family_keeps_its_parents(known: Known) -> None:
    hatched = {"origin": "hatchery", "caught": None, "hatched": Day(date(2010, 5, 9)), "family": "10-1"}
    assert codes(known, pairs=(Pair("F1", "M1"),), **hatched) == []
    assert codes(known, pairs=(Pair("F1", None),), **hatched) == ["duplicate_id"]


def test_a_code_on_another_fish_is_refused_and_a_near_one_pointed_out(known: Known) -> None:
    assert codes(known, tag=TagCode("iso", "985121004515220")) == ["duplicate_code"]
    assert codes(known, tag=TagCode("iso", "985121004515221")) == ["near_code"]


def test_a_control_character_that_no_one_sees_is_refused(known: Known) -> None:
    assert codes(known, notes="scar\x07left") == ["control_character"]


def test_a_note_of_forty_thousand_characters_is_refused_with_its_length(known: Known) -> None:
    found = objections_to_admission(Admission(number="N1", notes="x" * 40_000, **WILD), known)
    assert [o.message for o in found] == ["This is 40000 characters long; at most 4000 fit. Shorten it."]


def test_a_fish_leaves_once(known: Known) -> None:
    gone = Departure(fish="M2", left="died", left_on=Day(date(2010, 1, 1)))
    assert [o.message for o in objections_to_departure(gone, known)] == [
        "Fish M2 already died 5 January 2009. Correct that entry instead."
    ]


def test_a_fish_does_not_leave_before_it_came(known: Known) -> None:
    gone = Departure(fish="F1", left="died", left_on=Day(date(1999, 1, 1)))
    assert [o.code for o in objections_to_departure(gone, known)] == ["death_before_hatch"]
