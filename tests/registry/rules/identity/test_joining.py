"""When two numbers cannot be one fish, and what must be chosen before they are."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from registry.rules.days import Day, Period
from registry.rules.identity.joining import (
    KEPT,
    OTHER,
    Between,
    Entered,
    Joining,
    cut,
    left_now,
    objections_to_joining,
)
from registry.rules.known import KnownFish
from registry.rules.parents import Part

ENTRY = Joining(kept="M1", other="X1", proved_on=date(2021, 3, 1), evidence="genotype", reason="no mismatch at 17 loci")
M1 = Entered(KnownFish("M1", 1, sex="M"), seen=((date(2005, 4, 1), "checked"),))
X1 = Entered(KnownFish("X1", 2, sex="M"), seen=((date(2015, 4, 1), "checked"),))


NOTHING = Between()


def of(one: Entered, **changes: object) -> Entered:
    return replace(one, fish=replace(one.fish, **changes))


def gone(one: Entered, how: str, year: int) -> Entered:
    return of(one, left=how, left_on=Day(date(year, 6, 1)))


def objections(kept: Entered = M1, other: Entered = X1, between: Between = NOTHING, entry: Joining = ENTRY):
    return objections_to_joining(entry, kept, other, between)


def test_two_entries_that_agree_are_joined_without_a_word() -> None:
    assert objections() == []


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"other": "m1"}, "other", "Fish M1 is named twice."),
        ({"reason": " "}, "reason", "Say what proves it"),
        ({"evidence": ""}, "evidence", "Say how it is known that this is the same fish"),
        ({"evidence": "asserted"}, "probability", "say how likely you hold it"),
        ({"evidence": "asserted", "probability": Decimal(2)}, "probability", "2 is not above 0 and up to 1"),
    ],
)
def test_the_evidence_is_named(changes, field, sentence) -> None:
    (objection,) = objections(entry=replace(ENTRY, **changes))
    assert objection.field == field
    assert sentence in objection.message


@pytest.mark.parametrize(
    ("kept", "other", "sentence"),
    [
        (of(M1, hatched=Day(date(2016, 5, 1))), X1, "M1 hatched 1 May 2016, and X1 was checked on 1 April 2015."),
        (gone(M1, "died", 2010), X1, "M1 died 1 June 2010, and X1 was checked on 1 April 2015."),
        (M1, gone(X1, "died", 2004), "X1 died 1 June 2004, and M1 was checked on 1 April 2005."),
        (gone(M1, "died", 2020), gone(X1, "died", 2021), "M1 died 1 June 2020 and X1 died 1 June 2021."),
        (
            gone(M1, "released", 2010),
            replace(X1, stays=(Period("Tank 1", date(2009, 1, 1)),)),
            "M1 released 1 June 2010, while X1 stayed in Tank 1.",
        ),
        (
            replace(M1, parts=(Part("sire", Day(date(2010, 5, 1)), "family 10-1"),)),
            replace(X1, parts=(Part("dam", Day(date(2016, 5, 1)), "family 16-1"),)),
            "X1 is the dam of family 16-1 and M1 is the sire of family 10-1. One fish is not both",
        ),
    ],
)
def test_lives_that_contradict_each_other_are_two_fish(kept, other, sentence) -> None:
    (objection,) = objections(kept, other)
    assert sentence in objection.message
    assert not objection.warning


@pytest.mark.parametrize(
    ("between", "warning", "sentence"),
    [
        (Between(families=("family 12-1",)), False, "M1 and X1 are both parents of family 12-1. One fish cannot be"),
        (Between(ancestor="M1"), False, "M1 is an ancestor of X1. One fish is not its own ancestor"),
        (Between(ancestor="X1"), False, "X1 is an ancestor of M1."),
        (Between(plans=("P1",)), True, "Plan P1 pairs the two; that cross falls out of it."),
        (Between(held_apart=("on 3 May 2020, though likely: no tag",)), True, "held to be two fish before: on 3 May"),
    ],
)
def test_what_the_register_holds_of_both_speaks_against_it(between, warning, sentence) -> None:
    (objection,) = objections(between=between)
    assert sentence in objection.message
    assert objection.warning == warning


def test_facts_that_differ_are_chosen_and_nothing_is_chosen_for_the_person() -> None:
    kept = replace(M1, facts={"sex": "male", "origin": "wild-caught", "stock": "Upper"})
    other = replace(X1, facts={"sex": "female", "origin": "hatchery-born", "species": "Acipenser ruthenus (field)"})
    found = objections(kept, other)
    assert [(o.code, o.field) for o in found] == [("choose", "sex"), ("choose", "origin")]
    assert found[0].message == "M1 and X1 differ in sex: male, or female. Choose which holds."
    assert objections(kept, other, entry=replace(ENTRY, choices={"sex": KEPT, "origin": OTHER})) == []
    assert len(objections(kept, other, entry=replace(ENTRY, choices={"sex": "both", "origin": OTHER}))) == 1


def test_a_fish_was_in_one_place_and_the_person_says_in_which() -> None:
    kept = replace(M1, stays=(Period("Tank 1", date(2000, 1, 1)),))
    other = replace(X1, stays=(Period("Pond 2", date(2012, 4, 1)),))
    (objection,) = objections(kept, other)
    assert objection.field == "stays"
    assert "From 1 April 2012 on M1 was in Tank 1 and X1 in Pond 2." in objection.message
    assert objections(kept, other, entry=replace(ENTRY, choices={"stays": OTHER})) == []
    assert objections(kept, replace(other, stays=(Period("Tank 1", date(2012, 4, 1)),))) == []


def test_a_stay_gives_way_from_the_day_on_which_the_other_began() -> None:
    stay = Period("Tank 1", date(2000, 1, 1))
    assert cut(stay, [Period("Pond 2", date(2012, 4, 1))]) == Period("Tank 1", date(2000, 1, 1), date(2012, 4, 1))
    assert cut(stay, [Period("Pond 2", date(1999, 4, 1))]) is None
    over = Period("Pond 2", date(2005, 4, 1), date(2010, 4, 1))
    assert cut(stay, [over]) == Period("Tank 1", date(2010, 4, 1)), "it is there now"
    assert cut(Period("Tank 1", date(2000, 1, 1), date(2001, 1, 1)), [Period("P", date(2012, 4, 1))]) == Period(
        "Tank 1", date(2000, 1, 1), date(2001, 1, 1)
    )


@pytest.mark.parametrize(
    ("kept", "other", "whose"),
    [
        (M1, X1, KEPT),
        (gone(M1, "missing", 2010), X1, OTHER),
        (gone(M1, "missing", 2020), X1, KEPT),
        (gone(M1, "released", 2010), gone(X1, "died", 2019), OTHER),
        (gone(M1, "died", 2019), gone(X1, "missing", 2016), KEPT),
        (M1, gone(X1, "died", 2019), OTHER),
        (M1, gone(X1, "missing", 2001), KEPT),
    ],
)
def test_the_fish_is_where_it_was_seen_last(kept, other, whose) -> None:
    # Missing or released once and seen in hand since: it lives. Gone after the last time it was seen: it is gone.
    assert left_now(kept, other) == whose
