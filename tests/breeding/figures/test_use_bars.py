"""Limits and their use as bars: each ends at its limit, what lies beyond it is hatched and said in words."""

from xml.etree import ElementTree

import pytest

from breeding.figures.use_bars import MOST_BARS, Use, use_bars

SVG = "{http://www.w3.org/2000/svg}"


def drawn(*rows: Use) -> ElementTree.Element:
    return ElementTree.fromstring(use_bars(rows, "Use of permit 7"))


def texts(picture: ElementTree.Element) -> list[str]:
    return [one.text or "" for one in picture.iter(f"{SVG}text")]


def test_the_filled_part_is_to_the_outline_as_the_use_is_to_the_limit() -> None:
    filled, outline = [float(r.get("width", "0")) for r in drawn(Use("release", 150, 600)).iter(f"{SVG}rect")]
    assert filled / outline == pytest.approx(0.25, abs=0.01)


def test_what_lies_beyond_a_limit_is_hatched_and_said() -> None:
    picture = drawn(Use("release", 1500, 1000))
    filled, beyond, outline = [float(r.get("width", "0")) for r in picture.iter(f"{SVG}rect")]
    assert filled == outline
    assert beyond / outline == pytest.approx(0.5, abs=0.01)
    assert len(list(picture.iter(f"{SVG}line"))) > 5
    assert texts(picture)[1] == "1 500 of 1 000, 500 too many"
    assert picture.find(f"{SVG}desc").text == "One limit. Over its limit: release."


def test_without_a_stated_limit_there_is_no_bar_to_fill() -> None:
    picture = drawn(Use("holding", 12, None), Use("release", 0, 5))
    assert len(list(picture.iter(f"{SVG}rect"))) == 2
    assert texts(picture) == ["holding", "12 used, no limit stated", "release", "0 of 5"]
    assert picture.find(f"{SVG}desc").text == "2 limits. None is over its limit."


def test_nothing_to_draw_is_said() -> None:
    assert texts(drawn()) == ["No limit to draw."]


def test_impossible_numbers_and_too_many_limits_are_refused() -> None:
    with pytest.raises(ValueError, match="“release” is used by -1 of 5; these are no numbers of fish"):
        drawn(Use("release", -1, 5))
    with pytest.raises(ValueError, match="41 limits are too many for one picture"):
        drawn(*[Use("release", 0, 5)] * (MOST_BARS + 1))
