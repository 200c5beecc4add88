"""Words are cut and broken so that they fit."""

from hypothesis import given
from hypothesis import strategies as st

from breeding.figures.parts.lettering import shortened, text_width, wrapped


def test_wider_letters_take_more_room() -> None:
    assert text_width("iii", 12) < text_width("nnn", 12) < text_width("MMM", 12) < text_width("鱘鱘鱘", 12)


def test_a_combining_accent_takes_no_room() -> None:
    assert text_width("e\u0301", 12) == text_width("e", 12)


def test_a_text_that_fits_stays_and_one_that_does_not_is_cut() -> None:
    assert shortened("ISE-2019", 12, 200) == "ISE-2019"
    assert shortened("A very long name indeed", 12, 60).endswith("…")


@given(st.text("abc ", min_size=1, max_size=60), st.floats(20, 200), st.integers(1, 4))
def test_wrapped_lines_fit_and_are_few(text: str, room: float, lines: int) -> None:
    rows = wrapped(text, 12, room, lines)
    assert len(rows) <= lines
    assert all(text_width(row, 12) <= room for row in rows)


def test_nothing_is_lost_while_there_is_room() -> None:
    assert " ".join(wrapped("Brackenholt Weir back-up tank", 12, 90, 9)) == "Brackenholt Weir back-up tank"
