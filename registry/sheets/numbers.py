"""Numbers as people write them: counts of fish, amounts, per cent, lengths and weights."""

import re
from decimal import Decimal
from typing import Any, Literal

from registry.rules.reading import Reading, refusal, shown, warning
from registry.sheets.cells import Cell
from registry.sheets.values import opened

DecimalSign = Literal["point", "comma"]
LARGEST_COUNT = 1_000_000_000
MM_PER = {"mm": Decimal(1), "cm": Decimal(10), "m": Decimal(1000)}
G_PER = {"mg": Decimal("0.001"), "g": Decimal(1), "kg": Decimal(1000)}
_UNIT_WORDS = {
    "millimetre": "mm", "millimeter": "mm", "centimetre": "cm", "centimeter": "cm", "metre": "m", "meter": "m",
    "milligram": "mg", "gram": "g", "gramme": "g", "gr": "g", "gm": "g", "kilogram": "kg", "kilo": "kg", "kgs": "kg",
}  # fmt: skip

_APPROXIMATE = re.compile(r"(?:~|≈|±|c\.|ca\b\.?|circa|about|approx(?:imately|\.)?)\s*", re.IGNORECASE)
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:([.,])\d{3})(?:\1\d{3})*")
_GROUPED = re.compile(r"(-?\d{1,3})((?:[ ']\d{3})+)(?!\d)")
_WITH_K = re.compile(r"(\d+)(?:[.,](\d{1,3}))? ?(?:k|tsd\.?|thousand)", re.IGNORECASE)
_FRACTION = re.compile(r"-?\d+[.,](\d+)")
_WITH_UNIT = re.compile(r"(.*?\d[.,]?)\s*([^\W\d_]+)\.?")


def _number_text(value: str) -> str:
    """Return a number's text with a plain minus, without text marker and without spaces between thousands."""
    text = value.lstrip("'’").replace("−", "-").replace("’", "'").strip()
    return _GROUPED.sub(lambda m: m[1] + re.sub(r"[ ']", "", m[2]), text, count=1)


def _not_a_number(value: object, wanted: str = "a number") -> Reading[Any]:
    return refusal(
        "not_a_number", f"{shown(value)} is not {wanted}. Enter figures only, or leave the cell empty.", value
    )


def _negative(value: object) -> Reading[Any]:
    return refusal("negative", f"{shown(value)} is negative, which cannot be. Check the sign.", value)


def read_count(cell: Cell, required: bool = True) -> Reading[int | None]:
    """Return a whole number of fish or eggs. `12 400`, `12.400`, `12,400`, `~12000` and `12k` are understood.

    Refuses `missing_count` (when required), `negative`, `fraction` and `not_a_number`; warns of
    `thousands_separator`, `approximate` and `k_suffix`.
    """
    found = opened(cell)
    if found.refused:
        return found
    if found.value is None:
        message = "A count is needed here. Enter how many fish, or 0 if there were none."
        return refusal("missing_count", message) if required else Reading(None)
    if isinstance(found.value, int | float):
        return _whole(found.value)
    if not isinstance(found.value, str):
        return _not_a_number(found.value, "a count")
    text = _number_text(found.value)
    bare = _APPROXIMATE.sub("", text, count=1) if _APPROXIMATE.match(text) else text
    reading = _count_of(_number_text(bare), found.value)
    if bare == text or reading.refused:
        return reading
    message = f"{shown(found.value)} is taken as {reading.value}, an estimate. Count them if you can."
    return Reading(reading.value, (*reading.objections, warning("approximate", message, found.value)))


def _whole(value: int | float) -> Reading[int]:
    if value < 0:
        return _negative(value)
    if not value < LARGEST_COUNT:
        return refusal("not_a_number", f"{value:.15g} is more fish than can be. Check the number.", value)
    if value != int(value):
        return refusal("fraction", f"{value:.15g} is not a whole number, and fish are whole. Enter the count.", value)
    return Reading(int(value))


def _count_of(text: str, seen: str) -> Reading[int]:
    """Return the count that a text without spaces and approximation signs means."""
    if re.fullmatch(r"-?\d{1,15}", text):
        return _whole(int(text))
    if _THOUSANDS.fullmatch(text):
        value = _whole(int(re.sub(r"[.,]", "", text)))
        message = f"{shown(seen)} is read as {value.value}: three figures follow the separator, and fish are whole."
        return value if value.refused else Reading(value.value, (warning("thousands_separator", message, seen),))
    if with_k := _WITH_K.fullmatch(text):
        value = _whole(int(with_k[1]) * 1000 + int((with_k[2] or "").ljust(3, "0")))
        message = f"{shown(seen)} is read as {value.value}."
        return value if value.refused else Reading(value.value, (warning("k_suffix", message, seen),))
    if fraction := _FRACTION.fullmatch(text):
        whole = not fraction[1].strip("0")
        return _whole(float(text.replace(",", "."))) if whole or not text.startswith("-") else _negative(seen)
    return _not_a_number(seen, "a count")


def read_number(cell: Cell, decimal: DecimalSign | None = None) -> Reading[Decimal | None]:
    """Return an amount of zero or more, or None for a blank cell.

    `decimal` is the sign before the decimals. Without it both are understood, but `1,250` is refused, because it
    could be 1250. Refuses `not_a_number` and `negative`; warns of `thousands_separator`.
    """
    found = opened(cell)
    if found.refused or found.value is None:
        return found
    if isinstance(found.value, int | float):
        number = Decimal(f"{found.value:.15g}")
        if not number.is_finite():
            return _not_a_number(found.value)
        return _negative(found.value) if number < 0 else Reading(number)
    return _amount(found.value, decimal) if isinstance(found.value, str) else _not_a_number(found.value)


def _amount(seen: str, decimal: DecimalSign | None) -> Reading[Decimal]:
    text = _number_text(seen)
    if not re.fullmatch(r"-?(?:\d[\d.,]*|[.,]\d+)", text) or len(text) > 20:
        return _not_a_number(seen)
    sign = _sign_before_decimals(text, decimal)
    if sign is None:
        message = (
            f"{shown(seen)} can be read with a decimal comma or with a thousands comma. "
            "Say which (--decimal point or comma), or write it without the comma."
        )
        return refusal("not_a_number", message, seen)
    thousands = "," if sign == "." else "."
    whole, _, decimals = text.partition(sign)
    if thousands in decimals or sign in decimals or not _rightly_grouped(whole, thousands):
        return _not_a_number(seen)
    number = Decimal(f"{whole.replace(thousands, '') or '0'}.{decimals or '0'}")
    if text.startswith("-"):
        return _negative(seen)
    if thousands not in whole:
        return Reading(number.normalize() + 0)
    message = f"{shown(seen)} is read as {number}: the {'comma' if thousands == ',' else 'dot'} parts the thousands."
    return Reading(number, (warning("thousands_separator", message, seen),))


def _rightly_grouped(whole: str, thousands: str) -> bool:
    return thousands not in whole or bool(re.fullmatch(rf"-?\d{{1,3}}(?:\{thousands}\d{{3}})+", whole))


def _sign_before_decimals(text: str, decimal: DecimalSign | None) -> str | None:
    """Return the sign that parts the decimals: as told, or the later of two, or the only one; None if in doubt."""
    if decimal is not None:
        return "," if decimal == "comma" else "."
    if "," in text and "." in text:
        return max(",.", key=text.rindex)
    if text.count(",") > 1:
        return "."
    if text.count(".") > 1:
        return ","
    if re.fullmatch(r"-?[1-9]\d{0,2},\d{3}", text):
        return None
    return "," if "," in text else "."


def read_percent(cell: Cell, decimal: DecimalSign | None = None) -> Reading[Decimal | None]:
    """Return per cent between 0 and 100, or None for a blank cell.

    A number between 0 and 1 without a per cent sign is taken as a share (`fraction_percent`). Refuses `percent_range`.
    """
    signed = isinstance(cell, str) and cell.strip().endswith("%")
    reading = read_number(cell.strip().removesuffix("%").strip() if signed else cell, decimal)
    if reading.refused and reading.objections[0].code == "negative":
        return _out_of_range(cell)
    if reading.value is None:
        return reading
    if reading.value > 100:
        return _out_of_range(cell)
    if signed or not 0 < reading.value < 1:
        return reading
    value = (reading.value * 100).normalize() + 0
    message = (
        f"{shown(cell)} is read as a share: {value} %. Write 0.5 % with the sign if less than one per cent is meant."
    )
    return Reading(value, (*reading.objections, warning("fraction_percent", message, cell)))


def _out_of_range(cell: Cell) -> Reading[Any]:
    return refusal("percent_range", f"{shown(cell)} is not between 0 and 100 per cent. Check the number.", cell)


def unit_of(word: str) -> str:
    """Return the usual sign of a unit: g for grams, mm for millimetres; an unknown word comes back as it is."""
    word = word.strip().rstrip(".").casefold()
    return _UNIT_WORDS.get(word, _UNIT_WORDS.get(word.removesuffix("s"), word))


def read_length(cell: Cell, unit: str | None, decimal: DecimalSign | None = None) -> Reading[Decimal | None]:
    """Return a length in mm, or None for a blank cell. The unit in the cell goes before the heading's `unit`."""
    return _measured(cell, unit, decimal, MM_PER)


def read_mass(cell: Cell, unit: str | None, decimal: DecimalSign | None = None) -> Reading[Decimal | None]:
    """Return a mass in g, or None for a blank cell. The unit in the cell goes before the heading's `unit`."""
    return _measured(cell, unit, decimal, G_PER)


def _measured(
    cell: Cell, unit: str | None, decimal: DecimalSign | None, sizes: dict[str, Decimal]
) -> Reading[Decimal | None]:
    found = opened(cell)
    if found.refused or found.value is None:
        return found
    number = found.value
    if isinstance(number, str) and (parts := _WITH_UNIT.fullmatch(number)):
        number, unit = parts[1], parts[2]
        if unit_of(unit) not in sizes:
            message = f"{shown(cell)} is not in a unit that fits here. Use {', '.join(sizes)}."
            return refusal("no_unit", message, cell)
    reading = read_number(number, decimal)
    if reading.value is None:
        return reading
    if unit is None or unit_of(unit) not in sizes:
        message = f"{shown(cell)} has no unit, nor has its heading. Write the unit ({', '.join(sizes)}) into either."
        return refusal("no_unit", message, cell)
    return Reading((reading.value * sizes[unit_of(unit)]).normalize() + 0, reading.objections)
