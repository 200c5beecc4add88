"""A fish that comes without a number: which of those that the register knows it may be, and by what."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from registry.rules.days import Day
from registry.rules.identity.likeness import Remembered, Seen, likely_ones
from registry.rules.tags import TagCode

TODAY = date(2026, 5, 3)
CODE = TagCode("iso", "900215000123456")
SLIP = TagCode("iso", "900215000123457")
LOST = ((CODE, date(2010, 4, 2), date(2024, 4, 1)),)
SEEN = Seen(on=TODAY, species="ruthenus", sex="F", unit="Tank 1")
F1 = Remembered(pk=1, number="F1", species="ruthenus", sex="F", unit="Tank 1", tags=LOST)


def only(seen: Seen, *remembered: Remembered):
    (found,) = likely_ones(seen, remembered, 6)
    return found


def test_the_fish_that_lost_its_tag_in_this_tank_is_offered_with_its_evidence() -> None:
    found = only(SEEN, F1)
    assert (found.number, found.word) == ("F1", "likely")
    assert found.in_words == (
        "likely: without a tag since 1 April 2024, last in Tank 1, the same sex, the same species"
    )


@pytest.mark.parametrize(
    ("tags", "said", "word"),
    [
        (((CODE, date(2010, 4, 2), None),), "bears this code since 2 April 2010", "very likely"),
        (LOST, "bore this code from 2 April 2010 until 1 April 2024", "very likely"),
        (((SLIP, date(2010, 4, 2), None),), "its code 900215000123457 differs by one figure", "likely"),
    ],
)
def test_a_code_known_now_or_once_or_one_figure_apart_comes_first(tags, said, word) -> None:
    found = only(replace(SEEN, code=CODE), replace(F1, tags=tags))
    assert found.speaks_for[0] == said
    assert found.word == word


def test_the_strongest_evidence_stands_first_and_the_list_is_short() -> None:
    many = [replace(F1, pk=n, number=f"F{n}", unit="Tank 9") for n in range(2, 12)]
    found = likely_ones(SEEN, [*many, F1, replace(F1, pk=20, number="F20", scutes={"dorsal_scutes": 13})], 6)
    assert [one.number for one in found][:2] == ["F1", "F20"]
    assert len(found) == 6


def test_a_fish_that_bears_another_tag_or_is_dead_is_not_offered() -> None:
    tagged = replace(F1, tags=((TagCode("iso", "900215999999999"), date(2010, 4, 2), None),))
    dead = replace(F1, left="died", left_on=Day(date(2020, 1, 1)))
    assert likely_ones(SEEN, [tagged, dead], 6) == []


@pytest.mark.parametrize("other", [{"sex": "M"}, {"species": "baerii"}])
def test_sex_and_species_rule_a_fish_out_unless_its_code_was_read(other) -> None:
    assert likely_ones(SEEN, [replace(F1, **other)], 6) == []
    found = only(replace(SEEN, code=CODE), replace(F1, tags=((CODE, date(2010, 4, 2), None),), **other))
    assert found.against in [("the other sex on record",), ("another species on record",)]


def test_missing_and_released_fish_are_offered() -> None:
    missing = replace(F1, pk=2, number="F2", tags=(), left="missing", left_on=Day(date(2023, 1, 1), "year"))
    released = replace(F1, pk=3, number="F3", left="released", left_on=Day(date(2019, 6, 1)))
    grown = replace(released, measured=(date(2019, 5, 1), Decimal(300)))
    found = likely_ones(replace(SEEN, total_length_mm=Decimal(800)), [missing, released, grown], 6)
    assert [one.number for one in found] == ["F2", "F3"]
    assert found[0].speaks_for[0] == "missing since 2023, last in Tank 1"
    assert "released 1 June 2019" in found[1].speaks_for
    # The river is full of released fish of this species and sex: that alone names none of them.
    assert likely_ones(SEEN, [released], 6) == []


@pytest.mark.parametrize(
    ("now", "fits"),
    [(850, True), (800, True), (700, False), (3000, False)],
)
def test_a_fish_neither_shrinks_nor_grows_beyond_measure(now, fits) -> None:
    # Common practice, no source: measured again within 3 per cent; half as long again in a year at most.
    measured = replace(F1, measured=(date(2024, 5, 3), Decimal(812)))
    found = likely_ones(replace(SEEN, total_length_mm=Decimal(now)), [measured], 6)
    if fits:
        assert f"measured 812 mm on 3 May 2024, now {now} mm" in found[0].speaks_for
    else:
        assert found == []


def test_a_fish_met_where_it_was_before_is_likelier_to_be_it() -> None:
    known = replace(F1, places=(("released", "Alder Ford"), ("caught", "Stony Reach")))
    there, elsewhere = (only(replace(SEEN, place=place), known) for place in ("stony reach ", "Maroway mouth"))
    assert "caught at Stony Reach before" in there.speaks_for
    assert there.strength > elsewhere.strength == only(SEEN, known).strength


def test_scutes_counted_before_speak_for_or_against_a_fish() -> None:
    # Common practice, no source: scutes do not change in number, a count errs by one.
    counted = replace(F1, scutes={"dorsal_scutes": 14, "lateral_scutes left": 61, "ventral_scutes left": 15})
    found = only(replace(SEEN, scutes={"dorsal_scutes": 14, "lateral_scutes left": 62}), counted)
    assert "14 dorsal scutes, as counted before" in found.speaks_for
    assert "62 lateral scutes left, 61 before" in found.speaks_for
    assert likely_ones(replace(SEEN, scutes={"dorsal_scutes": 11, "lateral_scutes left": 68}), [counted], 6) == []
