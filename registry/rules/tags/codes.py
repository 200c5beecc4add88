"""Reading one code, in any notation of readers, spreadsheets and hands.

Sources: ISO 11784 (64-bit identification code: animal flag, retagging counter, country or maker, 38-bit number).
"""

import re
from dataclasses import dataclass, field

from registry.rules.fixed.countries import COUNTRY_NUMBERS
from registry.rules.reading import Reading, refusal, shown, warning

ISO, HEX10, DECIMAL = "iso", "hex10", "decimal"
LARGEST_NUMBER = 2**38 - 1
TEST_COUNTRY = 999
MAKER_NUMBERS = range(900, 999)

_READER_TEXT = re.compile(r"^(?:ISO|FDX-?B|HDX|PIT|TAG|ID|CODE)(?:\s*(?:NO\.?|NR\.?|#))?\s*[:=]?\s*(?=[0-9A-F])")
_SEPARATORS = re.compile(r"[\s.,'’‘`´\-‐-―_/:]+")
_INVISIBLE = re.compile("[\u200b-\u200f\u2060\ufeff]")
_ROUNDED = re.compile(r"\d(?:[.,]\d+E\+?|E\+)\d{1,2}")
_DOTTED_HEX = re.compile(r"([0-9A-F]{3})\.([0-9A-F]{10})")
_SPLIT_DECIMALS = re.compile(r"0(\d{3})[\s.\-]+0(\d{12})")
_FLAG_FIRST = re.compile(r"^(?:A|1(?=[\s.\-]))(?=(?:[\s.\-]*\d){15}$)")
_LOOKALIKES = str.maketrans("OQIL", "0011")
_MISSING = {"", "?", "-", "–", "NA", "N/A", "NONE", "NO TAG", "UNKNOWN", "UNK"}


@dataclass(frozen=True, slots=True)
class TagCode:
    """A code in its one form: `iso` 15 digits, `hex10` 10 hex characters in capitals, `decimal` 9 or 10 digits.

    The retagging counter is kept for the eye; two codes that differ only in it are the same code.
    """

    system: str
    code: str
    retag: int = field(default=0, compare=False)


def read_code(text: str) -> Reading[TagCode]:
    """Return the code that a text stands for.

    Refuses `missing_code`, `rounded_code`, `test_code` and `bad_code`; warns of `unassigned_country` and `round_code`.
    """
    raw = _trimmed(text)
    if raw in _MISSING:
        return refusal("missing_code", "There is no code here. Read the tag and enter what the reader shows.", text)
    if _ROUNDED.fullmatch(raw):
        message = (
            f"Code {shown(text)} was rounded by a spreadsheet; its last digits are gone. "
            "Read the tag again or look the code up in the paper book."
        )
        return refusal("rounded_code", message, text)
    raw = _READER_TEXT.sub("", raw)
    if dotted := _DOTTED_HEX.fullmatch(raw):
        return _iso(int(dotted[1], 16), int(dotted[2], 16), text)
    if split := _SPLIT_DECIMALS.fullmatch(raw):
        return _iso(int(split[1]), int(split[2]), text)
    return of_bare(bare_of(text), text)


def _trimmed(text: str) -> str:
    return _INVISIBLE.sub("", text).strip().strip("'’‘`\"").strip().upper()


def bare_of(text: str) -> str:
    """Return the characters of a code alone: without what the reader prints before it, and without separators."""
    return _SEPARATORS.sub("", _FLAG_FIRST.sub("", _READER_TEXT.sub("", _trimmed(text)), count=1))


def of_bare(bare: str, text: str) -> Reading[TagCode]:
    """Tell the system of a code by its length and characters, separators taken away."""
    if re.fullmatch(r"[0-9]{15}", bare):
        return _iso(int(bare[:3]), int(bare[3:]), text)
    if re.fullmatch(r"[0-9]{9,10}", bare):
        return Reading(TagCode(DECIMAL, bare))
    if re.fullmatch(r"[0-9A-F]{10}", bare):
        return Reading(TagCode(HEX10, bare))
    if re.fullmatch(r"0X[0-9A-F]{16}|(?=.*[A-F])[0-9A-F]{16}", bare):
        return of_64_bits(int(bare.removeprefix("0X"), 16), text)
    return refusal("bad_code", _what_is_wrong(bare, text), text)


def of_64_bits(bits: int, text: str) -> Reading[TagCode]:
    """Take the 64 bits of ISO 11784 apart, most significant bit first."""
    if not bits >> 63:
        message = (
            f"Code {shown(text)} has no animal flag in its first bit: it is not an animal's tag, or its bytes are "
            "turned round. Set the reader to print 15 digits and read the tag again."
        )
        return refusal("bad_code", message, text)
    return _iso(bits >> 38 & 0x3FF, bits & LARGEST_NUMBER, text, retag=bits >> 60 & 0b111)


def _iso(country: int, number: int, text: str, retag: int = 0) -> Reading[TagCode]:
    if number > LARGEST_NUMBER:
        message = (
            f"Code {shown(text)} is impossible: its number comes to {number}, and a tag holds at most "
            f"{LARGEST_NUMBER} (38 bits). Read the tag again."
        )
        return refusal("bad_code", message, text)
    if country == TEST_COUNTRY:
        message = f"Code {shown(text)} begins with 999, the range for tests, and is on no fish. Read the tag again."
        return refusal("test_code", message, text)
    if not 0 < country < TEST_COUNTRY:
        message = f"Code {shown(text)} begins with {country:03d}, which is no country or maker. Read the tag again."
        return refusal("bad_code", message, text)
    warnings = []
    if country not in MAKER_NUMBERS and country not in COUNTRY_NUMBERS:
        message = (
            f"Code {shown(text)} begins with {country:03d}, the number of no country. Check the first three digits."
        )
        warnings.append(warning("unassigned_country", message, text))
    code = f"{country:03d}{number:012d}"
    if code.endswith("0" * 9):
        message = (
            f"Code {shown(text)} ends in nine zeros: probably a spreadsheet rounded it. Read the tag again if you can."
        )
        warnings.append(warning("round_code", message, text))
    return Reading(TagCode(ISO, code, retag), tuple(warnings))


def _what_is_wrong(bare: str, text: str) -> str:
    """Say why a text is no code, as near to the slip as can be told."""
    mended = bare.translate(_LOOKALIKES)
    if mended != bare and not (reading := of_bare(mended, text)).refused and reading.value:
        letters = ", ".join(sorted({c for c in bare if c in "OQIL"}))
        meant = reading.value.code
        return f"Code {shown(text)} has the letter {letters} where a digit belongs. If it is {meant}, enter that."
    if bare.isascii() and bare.isdigit():
        return (
            f"Code {shown(text)} has {len(bare)} digits; a tag of ISO 11784 has 15, an older one 9 or 10. "
            "Read the tag again, and keep the column as text in the spreadsheet."
        )
    if re.fullmatch(r"[0-9A-F]+", bare):
        return f"Code {shown(text)} has {len(bare)} characters; an older hex code has 10. Read the tag again."
    return f"{shown(text)} is not a tag code. Enter the 15 digits, or the 10 characters of an older tag, as read."
