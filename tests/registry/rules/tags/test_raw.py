"""Raw readings and their check sum, against values from outside: the catalogued check of CRC-16/KERMIT, worked codes.

The worked codes follow from the bit layout of ISO 11784; their check sums were computed by two implementations that
agree. Telegrams are built here from the layout of ISO 11785 (FDX-B), bit by bit.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.rules.tags import TagCode
from registry.rules.tags.crc import crc16, crc_of_code
from registry.rules.tags.raw import PROFILES, TELEGRAM, read_raw, take_apart

# 15 digits, 64 bits (animal flag 1, other flags 0), check sum.
WORKED = [
    ("985121004515220", 0x8000F65C2C6E5F94, 0xD80A),
    ("900123456789012", 0x8000E11CBE991A14, 0xCF85),
    ("642001234567890", 0x8000A080499602D2, 0xA0A0),
    ("999000000000001", 0x8000F9C000000001, 0x2E44),
    ("276274877906943", 0x8000453FFFFFFFFF, 0x3134),
]
FIT_FOR_A_FISH = [row for row in WORKED if row[0] != "999000000000001"]
codes = st.builds(
    lambda country, number, retag: 1 << 63 | retag << 60 | country << 38 | number,
    st.integers(900, 998), st.integers(1, 2**38 - 1), st.integers(0, 7),
)  # fmt: skip


def low_first(value: int, width: int) -> str:
    return "".join(str(value >> place & 1) for place in range(width))


def telegram(code: int, check_sum: int, further: int = 0) -> str:
    data = low_first(code, 64) + low_first(check_sum, 16) + low_first(further, 24)
    return "10000000000" + "".join(data[at : at + 8] + "1" for at in range(0, 104, 8))


def objection_to(text: str, profile: str):
    (objection,) = read_raw(text, profile).objections
    return objection


def test_the_check_sum_is_the_one_that_the_catalogue_of_check_sums_gives():
    assert crc16(b"123456789") == 0x2189  # the catalogue's check value of CRC-16/KERMIT


@pytest.mark.parametrize(("digits", "bits", "check_sum"), WORKED)
def test_the_check_sum_of_the_worked_codes(digits, bits, check_sum):
    assert crc_of_code(bits) == check_sum


@pytest.mark.parametrize(("digits", "bits", "check_sum"), FIT_FOR_A_FISH)
def test_a_raw_code_is_read_in_each_order_of_bits_once_the_order_is_named(digits, bits, check_sum):
    high = f"{bits:016X} {check_sum:04X}"
    low = bits.to_bytes(8, "little").hex() + check_sum.to_bytes(2, "little").hex()
    received = f"{int(low_first(bits, 64), 2):016x}{int(low_first(check_sum, 16), 2):04x}"
    for text, order in ((high, "high first"), (low, "low first"), (received, "as received")):
        assert read_raw(text, order).value == TagCode("iso", digits)
        assert read_raw(text.replace(" ", "")[:16], order).value == TagCode("iso", digits)


def test_the_test_range_is_refused_from_raw_readings_too():
    assert objection_to("8000F9C0000000012E44", "high first").code == "test_code"


@given(codes, st.integers(0, 2**24 - 1))
def test_a_telegram_comes_apart_as_it_was_put_together(code, further):
    parts = take_apart(telegram(code, crc_of_code(code), further))
    assert (parts.code, parts.check_sum, parts.further) == (code, crc_of_code(code), further)


@given(codes)
def test_a_telegram_gives_its_code_and_retag_counter_in_bits_and_in_hex(code):
    bits = telegram(code, crc_of_code(code))
    for text in (bits, f"{int(bits, 2):032X}"):
        found = read_raw(text, TELEGRAM).value
        assert found == TagCode("iso", f"{code >> 38 & 0x3FF:03d}{code & (2**38 - 1):012d}")
        assert found.retag == code >> 60 & 7


@given(codes, st.integers(0, 63))
def test_one_bit_misread_never_passes_the_check_sum(code, place):
    spoilt = code ^ 1 << place
    assert objection_to(f"{spoilt:016X}{crc_of_code(code):04X}", "high first").code == "bad_crc"


@given(codes, st.integers(0, 127))
def test_a_telegram_with_one_bit_misread_is_refused_unless_the_bit_is_further_data(code, place):
    bits = telegram(code, crc_of_code(code))
    spoilt = bits[:place] + ("1" if bits[place] == "0" else "0") + bits[place + 1 :]
    further = place >= 101 and (place - 11) % 9 != 8
    assert read_raw(spoilt, TELEGRAM).refused != further


@pytest.mark.parametrize(
    ("text", "profile", "code", "sentence"),
    [
        ("8000F65C2C6E5F94", "", "no_profile", "Say how the reader hands out its bits"),
        ("8000F65C2C6E5F94", "by guess", "no_profile", "another tag in another order"),
        ("8000F65C2C6E5F9", "high first", "bad_length", "16 hex characters are wanted, or 20 with the check sum"),
        ("no bits at all", "high first", "bad_length", "is not a raw code"),
        ("8000F65C2C6E5F94D80B", "high first", "bad_crc", "D80B was read and D80A belongs to these bits"),
        ("145F6E2C5CF60080", "high first", "bad_code", "no animal flag in its first bit"),
        ("1" * 128, TELEGRAM, "bad_telegram", "does not begin with the header 10000000000"),
        ("10000000000" + "0" * 117, TELEGRAM, "bad_telegram", "control bit 1 of 13 is not a one"),
        ("8000F65C2C6E5F94", TELEGRAM, "bad_telegram", "a telegram has 128 bits, these are 64"),
    ],
)  # fmt: skip
def test_what_is_no_raw_reading_is_refused_with_what_is_wrong(text, profile, code, sentence):
    objection = objection_to(text, profile)
    assert objection.code == code
    assert sentence in objection.message


def test_every_order_of_bits_has_a_name_for_the_person_who_chooses():
    assert len({one.key for one in PROFILES}) == len({one.name for one in PROFILES}) == 4


def test_a_sample_that_circulates_with_a_wrong_number_is_not_read_as_that_number():
    # 37FF65B88EF94, often printed beside 985121004515220, has other bits: 3583 and 233463934868.
    assert read_raw("00037FF65B88EF94", "high first").refused
