"""Slips of the pen: which code a person may have meant."""

import re
from collections.abc import Container, Iterator

from registry.rules.tags.codes import HEX10, TagCode, bare_of, read_code

MOST = 3
# Letters that are taken for figures, most of them in handwriting; B and D are figures of an older hex code.
_FOR_DIGITS = str.maketrans("OQDILZSGB", "000112568")
_FOR_HEX = str.maketrans("OQILZSG", "0011256")


def near_codes(code: TagCode, codes: Container[TagCode]) -> list[TagCode]:
    """Return those of `codes`, a set, that differ from a code by one digit: slips of the pen to look at."""
    return [near for text in slips(code) if (near := TagCode(code.system, text)) in codes]


def slips(code: TagCode) -> list[str]:
    """Return every text that differs from a code by one digit."""
    digits = "0123456789ABCDEF" if code.system == HEX10 else "0123456789"
    return [
        code.code[:at] + digit + code.code[at + 1 :]
        for at, here in enumerate(code.code)
        for digit in digits
        if digit != here
    ]


def suggestions(text: str) -> list[TagCode]:
    """Return the codes that a text which is none may have been meant for: letters for figures, a figure typed twice."""
    if not read_code(text).refused:
        return []
    found = dict.fromkeys(code for meant in _meant(bare_of(text), "." in text) if (code := _code_in(meant)))
    return list(found)[:MOST]


def _meant(bare: str, dotted: bool) -> Iterator[str]:
    if len(bare) == 15:
        yield bare.translate(_FOR_DIGITS)
    if len(bare) in (10, 16):
        yield bare.translate(_FOR_HEX)
    if len(bare) == 13 and dotted:
        mended = bare.translate(_FOR_HEX)
        yield f"{mended[:3]}.{mended[3:]}"
    if re.fullmatch(r"[0-9]{16}", bare):
        yield from (bare[:at] + bare[at + 1 :] for at in range(15) if bare[at] == bare[at + 1])


def _code_in(text: str) -> TagCode | None:
    """Return the code of a mended text, unless it would be an odd one: a country that is none, a round number."""
    reading = read_code(text)
    return None if reading.objections else reading.value
