"""The sheet of tags put in and lost."""

import pytest

from registry.models import Tag
from registry.sheets.preview import Preview
from tests.support.samples import expected, faults, shown, take_until

pytestmark = pytest.mark.django_db
ENDS = {"dead tag": "dead", "lost": "lost", "replaced": "replaced", None: ""}


def test_every_row_is_judged_as_the_truth_says() -> None:
    take_until("fish")
    assert list(faults(shown("tags"))) == []


def test_the_register_holds_exactly_the_values_of_the_truth() -> None:
    found = take_until("tags")
    assert len(list(expected(found))) >= 24
    for row, values in expected(found):
        tag = Tag.objects.current().get(code=values["code"]["code"], fish__number=values["fish"])
        assert (tag.system, tag.attached_on.isoformat()) == (values["code"]["system"], values["put_in"]), f"row {row}"
        if values["taken_out"]:
            assert (tag.ended_on.isoformat(), tag.end_reason) == (values["taken_out"], ENDS[values["why"]])
        else:
            assert tag.ended_on is None or tag.end_reason == "fish left"


def test_a_code_of_unknown_day_gets_its_day_and_stays_one_tag() -> None:
    take_until("fish")
    assert not Tag.objects.current().get(code="900215184863962").attached_known
    found: Preview = take_until("tags")
    tag = Tag.objects.current().get(code="900215184863962")
    assert tag.attached_known
    assert tag.attached_on.isoformat() == "2012-12-05"
    assert found.order


def test_the_tag_of_a_dead_fish_ends_with_it_though_its_day_was_told_later() -> None:
    take_until("tags")
    tag = Tag.objects.current().get(code="900215220903340")
    assert (tag.attached_on.isoformat(), tag.ended_on.isoformat()) == ("2008-11-01", "2024-11-01")
    assert tag.end_reason == "fish left"
