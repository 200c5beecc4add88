"""Codes in words, for reading aloud and for judging who gave them out."""

from registry.rules.fixed.countries import COUNTRY_NUMBERS, CURRENT_NUMBERS
from registry.rules.tags.codes import ISO, MAKER_NUMBERS, TagCode

SHARED = 900


def formatted(code: TagCode) -> str:
    """Return a code in groups, for reading aloud: 900 215 000 123 456."""
    size = 3 if code.system == ISO else 5
    return " ".join(code.code[at : at + size] for at in range(0, len(code.code), size))


def told(code: TagCode) -> str:
    """Return what a code says of itself: who gave it out, and how often the animal was tagged before."""
    if code.system != ISO:
        return ""
    said = _giver(int(code.code[:3]))
    return f"{said}; retag counter {code.retag}" if code.retag else said


def _giver(number: int) -> str:
    if number == SHARED:
        return "900, shared by several makers"
    if number in MAKER_NUMBERS:
        return f"manufacturer {number}"
    if number in CURRENT_NUMBERS:
        return f"country {number:03d} (ISO 3166)"
    if number in COUNTRY_NUMBERS:
        return f"country {number:03d} (ISO 3166, since withdrawn)"
    return f"{number:03d}, the number of no country"
