"""Tag codes as readers print them. Worked values: ISO 11784 bit layout, computed by hand for the codes named below."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.rules.fixed.countries import COUNTRY_NUMBERS, CURRENT_NUMBERS
from registry.rules.tags import DECIMAL, HEX10, ISO, TagCode, formatted, read_code

# 15 digits, the 64 bits in hex (flag 1, other flags 0), and country and number in hex with a dot between.
# Source: ISO 11784, flag<<63 | retag<<60 | country<<38 | number; each row checked by integer arithmetic.
WORKED = [
    ("985121004515220", "8000F65C2C6E5F94", "3D9.1C2C6E5F94"),
    ("900123456789012", "8000E11CBE991A14", "384.1CBE991A14"),
    ("642001234567890", "8000A080499602D2", "282.00499602D2"),
    ("276274877906943", "8000453FFFFFFFFF", "114.3FFFFFFFFF"),
]
TEST_CODE = ("999000000000001", "8000F9C000000001", "3E7.0000000001")


def code_of(text: str) -> TagCode:
    reading = read_code(text)
    assert not reading.refused, reading.objections
    return reading.value


def objection_to(text: str):
    reading = read_code(text)
    assert reading.value is None
    (objection,) = reading.objections
    assert not objection.warning
    return objection


@pytest.mark.parametrize(("digits", "bits", "dotted"), WORKED)
def test_one_tag_is_one_code_in_every_notation_of_the_readers(digits, bits, dotted):
    assert code_of(digits) == code_of(bits) == code_of(dotted) == code_of(dotted.lower()) == TagCode(ISO, digits)


def test_the_retagging_counter_is_kept_but_is_no_part_of_the_identity():
    again = code_of("9000F65C2C6E5F94")
    assert again.retag == 1
    assert again == code_of("985121004515220")


@pytest.mark.parametrize(
    "written",
    [
        "985121004515220",
        "985 121004515220",
        "985-121-004515220",
        "985.121.004.515.220",
        "985 121 004 515 220",
        "985\xa0121004515220 ",
        "'985121004515220",
        "ISO 985121004515220",
        "PIT: 985 121 004 515 220",
        "0985 0121004515220",
        "A985121004515220",
        "1 985 121004515220",
        "\ufeff985121004515220",
    ],
)
def test_spaces_dots_dashes_and_reader_text_do_not_change_a_code(written):
    assert code_of(written) == TagCode(ISO, "985121004515220")


@pytest.mark.parametrize("written", ["7F7D3A1B2C", "7f7d3a1b2c", " 7F7D 3A1B 2C", "'7f7d3a1b2c", "7F-7D3A1B2C"])
def test_an_older_hex_code_is_kept_in_capitals(written):
    assert code_of(written) == TagCode(HEX10, "7F7D3A1B2C")


def test_an_older_code_that_begins_with_a_is_not_taken_for_an_animal_flag():
    assert code_of("A123456789") == TagCode(HEX10, "A123456789")


@pytest.mark.parametrize("written", ["412345678", "0412345678"])
def test_older_decimal_codes_are_a_system_of_their_own_and_never_padded(written):
    assert code_of(written) == TagCode(DECIMAL, written)


@pytest.mark.parametrize("written", ["9.00215E+14", "9,00215E+14", "9.00215e14", "9E+14", " 9.00215E+14 "])
def test_a_code_rounded_by_a_spreadsheet_is_refused_and_never_guessed(written):
    objection = objection_to(written)
    assert objection.code == "rounded_code"
    assert "its last digits are gone. Read the tag again" in objection.message


def test_a_hex_code_with_an_e_is_not_taken_for_a_rounded_number():
    assert code_of("7E12345678") == TagCode(HEX10, "7E12345678")


@pytest.mark.parametrize(
    ("written", "sentence"),
    [
        ("985274877906944", "at most 274877906943 (38 bits)"),
        ("98512100451522", "has 14 digits; a tag of ISO 11784 has 15"),
        ("9002150001234560", "has 16 digits"),
        ("98512100451522O", "has the letter O where a digit belongs. If it is 985121004515220"),
        ("90021523O196727", "If it is 900215230196727"),
        ("7F7D3AIB2C", "If it is 7F7D3A1B2C"),
        ("3D9.4C2C6E5F94", "at most 274877906943 (38 bits)"),
        ("000000000000123", "begins with 000, which is no country or maker"),
        ("3FF.1C2C6E5F94", "begins with 1023, which is no country or maker"),
        ("0000F65C2C6E5F94", "no animal flag"),
        ("7F7D3A1B2", "has 9 characters; an older hex code has 10"),
        ("<script>alert(1)</script>", "<script>alert(1)</script> is not a tag code"),
        ("９００２１５０００１２３４５６", "is not a tag code"),
    ],
)
def test_what_cannot_be_a_code_is_refused_with_what_is_wrong(written, sentence):
    objection = objection_to(written)
    assert objection.code == "bad_code"
    assert sentence in objection.message


def test_a_refusal_shows_one_short_line_of_a_long_cell():
    objection = objection_to("y" * 40_000 + "\n")
    assert len(objection.value) == 60
    assert len(objection.message) < 200


def test_the_test_range_is_refused_in_every_notation():
    assert [objection_to(written).code for written in TEST_CODE] == ["test_code"] * 3


@pytest.mark.parametrize("written", ["", "  ", "\xa0", "?", "-", "none"])
def test_no_code_says_to_read_the_tag(written):
    objection = objection_to(written)
    assert objection.code == "missing_code"
    assert "Read the tag" in objection.message


@pytest.mark.parametrize(
    ("written", "warned"),
    [
        ("005000189560824", ["unassigned_country"]),
        ("900215000000000", ["round_code"]),
        ("891000189560824", []),
        ("276000189560824", []),
        ("998000189560824", []),
    ],
)
def test_odd_codes_are_taken_with_a_warning(written, warned):
    reading = read_code(written)
    assert reading.value == TagCode(ISO, written)
    assert [(o.code, o.warning) for o in reading.objections] == [(code, True) for code in warned]


def test_the_country_list_is_the_249_of_iso_3166():
    # ISO 3166 Maintenance Agency: 249 officially assigned codes. 276 Germany, 840 United States, 891 withdrawn 2006.
    assert len(CURRENT_NUMBERS) == 249
    assert {276, 840} <= CURRENT_NUMBERS
    assert 891 in COUNTRY_NUMBERS - CURRENT_NUMBERS


@given(
    st.sampled_from(sorted(COUNTRY_NUMBERS)) | st.integers(900, 998),
    st.integers(0, 2**38 - 1),
    st.integers(0, 7),
)
def test_every_code_that_a_tag_can_hold_comes_back_from_each_notation(country, number, retag):
    bits = 1 << 63 | retag << 60 | country << 38 | number
    expected = TagCode(ISO, f"{country:03d}{number:012d}")
    assert code_of(f"{country:03d} {number:012d}") == expected
    assert code_of(f"0x{bits:016x}") == expected
    assert code_of(f"0x{bits:016x}").retag == retag
    assert code_of(f"{country:03X}.{number:010X}") == expected
    assert code_of(formatted(expected)) == expected


@given(st.from_regex(r"[0-9A-F]{9}[A-F]", fullmatch=True), st.from_regex(r"[0-9]{9,10}", fullmatch=True))
def test_every_older_code_comes_back_as_it_is_said_and_is_never_one_of_iso(hexed, figures):
    assert code_of(hexed.lower()) == code_of(formatted(TagCode(HEX10, hexed))) == TagCode(HEX10, hexed)
    assert code_of(figures) == code_of(formatted(TagCode(DECIMAL, figures))) == TagCode(DECIMAL, figures)


@given(st.text(max_size=40))
def test_no_text_whatever_breaks_the_reading_of_a_code(text):
    reading = read_code(text)
    assert reading.refused == (reading.value is None)
