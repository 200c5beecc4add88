"""Slips of the pen, and codes in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.rules.tags import HEX10, ISO, TagCode, formatted, near_codes, suggestions, told


def test_codes_one_digit_apart_are_near_and_the_same_code_is_not():
    known = {TagCode(ISO, c) for c in ("900215225465479", "900215225435479", "900215225435470")}
    assert near_codes(TagCode(ISO, "900215225465479"), known) == [TagCode(ISO, "900215225435479")]
    assert near_codes(TagCode(HEX10, "7F7D3A1B2C"), {TagCode(HEX10, "7F7D3A1B2D")}) == [TagCode(HEX10, "7F7D3A1B2D")]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("98512100451522O", ["985121004515220"]),
        ("98512l0045l522o", ["985121004515220"]),
        ("9B5IZ100451522O", ["985121004515220"]),
        ("985 121 OO4 515 220", ["985121004515220"]),
        ("3D9.1C2C6ESF94", ["985121004515220"]),
        ("8OOOF65C2C6E5F94", ["985121004515220"]),
        ("7F7D3AIB2C", ["7F7D3A1B2C"]),
        ("9851221004515220", ["985121004515220", "985122104515220", "985122100451520"]),
        ("9902152304196727", ["902152304196727"]),
    ],
)
def test_a_code_mistyped_is_offered_as_it_may_have_been_meant(typed, meant):
    assert [code.code for code in suggestions(typed)] == meant


@pytest.mark.parametrize(
    "typed", ["985121004515220", "7F7D3A1B2C", "", "?", "9.00215E+14", "tank 4", "123", "99900000000000I"]
)
def test_nothing_is_offered_for_a_code_for_no_code_and_for_the_test_range(typed):
    assert suggestions(typed) == []


@given(st.text(max_size=40))
def test_whatever_is_typed_at_most_three_codes_are_offered(text):
    assert len(suggestions(text)) <= 3


@given(st.integers(900, 998), st.integers(1, 2**38 - 1))
def test_zeros_and_ones_typed_as_letters_are_always_found_again(country, number):
    digits = f"{country:03d}{number:012d}"
    typed = digits.replace("0", "O").replace("1", "l")
    offered = suggestions(typed)
    odd = digits.endswith("0" * 9) or typed == digits
    assert offered == ([] if odd else [TagCode(ISO, digits)])


def test_codes_are_shown_in_groups_for_reading_aloud():
    assert formatted(TagCode(ISO, "900215000123456")) == "900 215 000 123 456"
    assert formatted(TagCode(HEX10, "7F7D3A1B2C")) == "7F7D3 A1B2C"


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (TagCode(ISO, "985121004515220"), "manufacturer 985"),
        (TagCode(ISO, "985121004515220", 1), "manufacturer 985; retag counter 1"),
        (TagCode(ISO, "276000189560824"), "country 276 (ISO 3166)"),
        (TagCode(ISO, "891000189560824"), "country 891 (ISO 3166, since withdrawn)"),
        (TagCode(ISO, "900215000123456"), "900, shared by several makers"),
        (TagCode(ISO, "005000189560824"), "005, the number of no country"),
        (TagCode(HEX10, "7F7D3A1B2C"), ""),
    ],
)
def test_a_code_says_who_gave_it_out_and_how_often_the_animal_was_tagged_before(code, said):
    assert told(code) == said
