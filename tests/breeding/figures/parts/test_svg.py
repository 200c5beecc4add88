"""SVG as text: well-formed whatever the words are, and no coordinate that is no number."""

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breeding.figures.parts.svg import clean, element, empty_picture, number, picture, words


@given(st.text())
def test_any_text_gives_a_document_that_an_xml_parser_reads_back(text: str) -> None:
    drawn = ElementTree.fromstring(words(0, 0, text, id=text))
    assert (drawn.text or "") == drawn.get("id") == clean(text)


def test_characters_that_xml_forbids_and_that_turn_the_text_are_dropped() -> None:
    # XML 1.0 (Fifth Edition), production 2: #x0, #xB, #xFFFE and lone surrogates are no characters.
    assert clean("a\x00b\x0bc\ufffed\ud800e\u202ef\u200bg") == "abcdefg"


def test_line_breaks_become_spaces() -> None:
    assert clean(" one\n two\t three ") == "one two three"


@pytest.mark.parametrize(
    ("value", "written"),
    [(1, "1"), (1.0, "1"), (0.125, "0.12"), (-0.001, "0"), (-2.5, "-2.5"), (100, "100"), (1e6, "1000000")],
)
def test_coordinates_are_short(value: float, written: str) -> None:
    assert number(value) == written


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_a_coordinate_that_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match=f"cannot show the value {value}"):
        number(value)


def test_attributes_without_a_value_are_left_out() -> None:
    assert element("line", x1=1, stroke_dasharray=None, class_="fig-line") == '<line x1="1" class="fig-line"/>'


def test_a_picture_with_links_is_a_group_so_that_the_links_are_read() -> None:
    # WAI-ARIA 1.2, role img: children are presentational, so links in it would be silent.
    silent = picture((10, 10), element("g"), ("t", "d"), "p")
    linked = picture((10, 10), element("a", "x", href="/"), ("t", "d"), "p")
    assert 'role="img"' in silent
    assert 'role="group"' in linked


def test_an_empty_picture_says_what_is_missing() -> None:
    assert ">No fish yet.</text>" in empty_picture("No fish yet.", "Fish", "p")
