"""Which code may be on which fish, and when."""

from datetime import date

import pytest

from registry.rules.days import Day
from registry.rules.known import Known, KnownTag
from registry.rules.tagging import TagAttachment, TagEnd, objections_to_attachment, objections_to_tag_end
from registry.rules.tags import TagCode

USED = TagCode("iso", "985121004515220")
FREE = TagCode("iso", "900123456789012")


def codes(known: Known, **entry: object) -> list[str]:
    whole = {"fish": "D1", "code": FREE, "attached_on": date(2012, 3, 1), **entry}
    return [o.code for o in objections_to_attachment(TagAttachment(**whole), known)]


def test_a_free_code_goes_on_a_living_fish(known: Known) -> None:
    assert codes(known) == []


def test_an_active_code_is_refused_with_its_bearer_and_the_way_out(known: Known) -> None:
    found = objections_to_attachment(TagAttachment(fish="D1", code=USED, attached_on=date(2012, 3, 1)), known)
    assert [o.message for o in found] == [
        "Tag 985121004515220 is active on fish F1 since 2 April 2000. End that tag first, or check the last digits. "
        "If both fish bear it, set the code aside."
    ]


@pytest.mark.parametrize(
    ("ended_on", "refused"),
    [(date(2012, 3, 1), []), (date(2012, 3, 2), ["duplicate_code"]), (date(2011, 1, 1), [])],
)
def test_a_code_passes_from_fish_to_fish_only_when_the_first_period_is_over(
    known: Known, ended_on: date, refused: list[str]
) -> None:
    known.tags[USED][0].ended_on = ended_on
    assert codes(known, code=USED) == refused


def test_a_back_dated_period_may_not_overlap_a_closed_one(known: Known) -> None:
    known.tags[USED][0].ended_on = date(2011, 1, 1)
    assert codes(known, code=USED, attached_on=date(2010, 6, 1), ended_on=date(2010, 7, 1)) == ["duplicate_code"]


def test_a_code_of_a_dead_fish_is_pointed_out(known: Known) -> None:
    known.add_tag(KnownTag(FREE, "M2", date(2001, 1, 1), date(2009, 1, 5)))
    assert codes(known) == ["code_of_dead_fish"]


def test_a_tag_comes_out_after_it_went_in(known: Known) -> None:
    assert codes(known, ended_on=date(2012, 2, 1)) == ["out_before_in"]


def test_no_tag_before_hatching_after_death_or_in_the_future(known: Known) -> None:
    assert codes(known, attached_on=date(2009, 1, 1)) == ["before_hatch"]
    assert codes(known, fish="M2", attached_on=date(2010, 1, 1)) == ["after_death"]
    assert codes(known, attached_on=date(2027, 1, 1)) == ["future_date"]


def test_a_tag_whose_day_was_not_known_gets_its_day(known: Known) -> None:
    known.add_tag(KnownTag(FREE, "D1", date(2010, 5, 9), attached_known=False))
    assert codes(known) == []


def test_ending_a_code_that_is_on_no_fish_is_refused(known: Known) -> None:
    end = TagEnd(code=FREE, ended_on=date(2020, 1, 1), end_reason="lost")
    assert [o.message for o in objections_to_tag_end(end, known)] == ["Code 900123456789012 is not active on any fish."]


def test_a_tag_was_on_its_fish_from_its_day_until_the_day_it_came_off() -> None:
    tag = KnownTag(FREE, "D1", date(2010, 1, 1), date(2011, 1, 1))
    assert [tag.on_day(date(2009, 12, 31)), tag.on_day(date(2010, 1, 1)), tag.on_day(date(2011, 1, 1))] == [
        False, True, False,
    ]  # fmt: skip
    assert Day(date(2010, 1, 1)).last == date(2010, 1, 1)
