"""Raw readings: the bits of a tag as a reader without a decoder hands them out, read under a stated profile.

Readers turn bytes and bits round in different ways, and nothing in the text says how. So nothing is guessed: the
person names the profile, and a check sum, where there is one, proves it.

Source: ISO 11785, FDX-B (128 bits: header of 11, then the 64 of the code, 16 of check sum and 24 of further data, a
one after each eight of them). That all parts go least significant bit first is from memory.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

from registry.rules.reading import Reading, refusal, shown
from registry.rules.tags.codes import TagCode, of_64_bits, read_code
from registry.rules.tags.crc import crc_of_code

HEADER = "10000000000"
TELEGRAM_BITS, CODE_BITS, SUM_BITS = 128, 64, 16
_GAPS = re.compile(r"[\s.,:_\-]+")


@dataclass(frozen=True, slots=True)
class Profile:
    """How a reader hands out bits. `turned` brings the bytes of code and of check sum to the order of the standard."""

    key: str
    name: str
    turned: Callable[[str], str]


def _as_is(bits: str) -> str:
    return bits


def _bytes_turned(bits: str) -> str:
    return "".join(bits[at : at + 8] for at in reversed(range(0, len(bits), 8)))


def _bits_turned(bits: str) -> str:
    return bits[::-1]


TELEGRAM = "telegram"
PROFILES = (
    Profile("high first", "Code in hex, most significant byte first", _as_is),
    Profile("low first", "Code in hex, least significant byte first", _bytes_turned),
    Profile("as received", "Code in hex, bits in the order in which they were received", _bits_turned),
    Profile(TELEGRAM, "Whole FDX-B telegram, bits in the order in which they were received", _bits_turned),
)


@dataclass(frozen=True, slots=True)
class Telegram:
    """The parts of one FDX-B telegram."""

    code: int
    check_sum: int
    further: int


def read_raw(text: str, profile: str) -> Reading[TagCode]:
    """Return the code in a raw reading: 16 hex characters, 20 with their check sum, or a telegram of 128 bits.

    Refuses `no_profile`, `bad_length`, `bad_telegram`, `bad_crc`, and all that `read_code` refuses.
    """
    known = {one.key: one for one in PROFILES}
    if profile not in known:
        message = "Say how the reader hands out its bits: the same characters mean another tag in another order."
        return refusal("no_profile", message, profile)
    bits = _bits_of(text)
    if profile == TELEGRAM:
        return _of_telegram(bits, text)
    if len(bits) not in (CODE_BITS, CODE_BITS + SUM_BITS):
        message = (
            f"{shown(text)} is not a raw code: 16 hex characters are wanted, or 20 with the check sum, "
            f"and there are {len(_GAPS.sub('', text))}. Read the tag again."
        )
        return refusal("bad_length", message, text)
    turned = known[profile].turned
    code = int(turned(bits[:CODE_BITS]), 2)
    if len(bits) == CODE_BITS:
        return of_64_bits(code, text)
    return _checked(code, int(turned(bits[CODE_BITS:]), 2), text)


def read_any(text: str, profile: str) -> Reading[TagCode]:
    """Return the code of a text out of a reader's file: raw bits under the profile named, or a code in any notation."""
    raw = len(_bits_of(text)) in (CODE_BITS, CODE_BITS + SUM_BITS, TELEGRAM_BITS)
    return read_raw(text, profile) if profile and raw else read_code(text)


def take_apart(bits: str) -> Telegram:
    """Return the parts of a telegram of 128 bits in the order received, from its header on.

    Raises ValueError with what is wrong.
    """
    if len(bits) != TELEGRAM_BITS:
        raise ValueError(f"a telegram has {TELEGRAM_BITS} bits, these are {len(bits)}")
    if not bits.startswith(HEADER):
        raise ValueError(f"it does not begin with the header {HEADER}")
    groups = [bits[at : at + 9] for at in range(len(HEADER), TELEGRAM_BITS, 9)]
    for place, group in enumerate(groups, 1):
        if group[8] != "1":
            raise ValueError(f"control bit {place} of {len(groups)} is not a one")
    data = "".join(group[:8] for group in groups)
    parts = (data[:CODE_BITS], data[CODE_BITS : CODE_BITS + SUM_BITS], data[CODE_BITS + SUM_BITS :])
    return Telegram(*(int(_bits_turned(part), 2) for part in parts))


def _of_telegram(bits: str, text: str) -> Reading[TagCode]:
    try:
        parts = take_apart(bits)
    except ValueError as fault:
        return refusal("bad_telegram", f"This is no whole telegram: {fault}. Read the tag again.", text)
    return _checked(parts.code, parts.check_sum, text)


def _checked(code: int, given: int, text: str) -> Reading[TagCode]:
    wanted = crc_of_code(code)
    if wanted == given:
        return of_64_bits(code, text)
    message = (
        f"The check sum does not fit: {given:04X} was read and {wanted:04X} belongs to these bits. A bit was misread, "
        "or the reader has another order of bits. Read the tag again, or choose the other order."
    )
    return refusal("bad_crc", message, text)


def _bits_of(text: str) -> str:
    """Return the bits that a text spells out in hex, or in ones and zeros; none if it is neither."""
    bare = _GAPS.sub("", text).upper().removeprefix("0X")
    if re.fullmatch(r"[01]{64,}", bare):
        return bare
    return f"{int(bare, 16):0{4 * len(bare)}b}" if re.fullmatch(r"[0-9A-F]+", bare) else ""
