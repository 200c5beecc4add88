"""Every look of every character has a drawing of its own, sound on paper and for a screen reader."""

from xml.etree import ElementTree

import pytest

from breeding.figures.characters.drawing import LOOKS, draw_look, draw_number
from registry.rules.identity.characters import CHARACTERS

SVG = "{http://www.w3.org/2000/svg}"
ABOUT = ("Lower lip: whole", "From below <looked at>")


def test_every_look_that_can_be_chosen_is_drawn_and_nothing_else() -> None:
    assert set(LOOKS) == {(one.key, state.key) for one in CHARACTERS for state in one.states}


@pytest.mark.parametrize(("character", "look"), LOOKS)
def test_a_drawing_names_itself_and_takes_the_colour_of_the_page(character: str, look: str) -> None:
    root = ElementTree.fromstring(draw_look(character, look, ABOUT, "a"))
    assert (root.find(f"{SVG}title").text, root.find(f"{SVG}desc").text) == ABOUT
    shapes = [node for node in root.iter() if node.tag not in {f"{SVG}{name}" for name in ("svg", "title", "desc")}]
    assert shapes
    assert {node.get("stroke", "currentColor") for node in shapes} == {"currentColor"}
    assert {node.get("fill") for node in shapes} <= {"none", "currentColor"}


def test_looks_of_a_character_are_drawn_differently() -> None:
    for one in CHARACTERS:
        drawn = {draw_look(one.key, state.key, ABOUT, "a") for state in one.states}
        assert len(drawn) == len(one.states)


def test_where_a_number_is_counted_is_drawn() -> None:
    for one in CHARACTERS:
        assert bool(draw_number(one.key, ABOUT, "a")) == (not one.states)
    assert draw_number("snout_percent", ABOUT, "a", 30) != draw_number("snout_percent", ABOUT, "a", 65)


def test_what_has_no_drawing_is_left_empty() -> None:
    assert draw_look("mouth", "unheard of", ABOUT, "a") == draw_number("unheard of", ABOUT, "a") == ""
