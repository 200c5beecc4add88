"""Places on Earth in the notations of maps, receivers and telephones."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from registry.rules.reading import Reading, refusal, shown, warning
from registry.sheets.cells import Cell, is_blank
from registry.sheets.values import opened

_PARTS = re.compile(r"[\s°º˚'’′\"”″:d]+", re.IGNORECASE)
_PLACES = Decimal("0.000001")


@dataclass(frozen=True, slots=True)
class Position:
    """Latitude and longitude in decimal degrees, north and east positive, to six places (0.1 m)."""

    lat: Decimal
    lon: Decimal


def read_position(lat: Cell, lon: Cell) -> Reading[Position | None]:
    """Return the place, or None with the warning `no_position` when both cells are blank; refuses `bad_position`.

    Understood: 47.1609 · 47,1609 · 47°09'39.2"N · 47 12.450 N · N 46.9904 · −31.4. Objections hang on `lat` or `lon`.
    """
    if is_blank(lat) and is_blank(lon):
        message = "No position is given. Add latitude and longitude, or choose a place that has them."
        return Reading(None, (warning("no_position", message).on("lat"),))
    north = _degrees(lat, "latitude", "NS", 90).on("lat")
    east = _degrees(lon, "longitude", "EW", 180).on("lon")
    objections = (*north.objections, *east.objections)
    if north.value is None or east.value is None:
        return Reading(None, objections)
    return Reading(Position(north.value, east.value), objections)


def _degrees(cell: Cell, what: str, letters: str, limit: int) -> Reading[Decimal]:
    """Return one coordinate, negative in the south or west (the second of `letters`)."""
    found = opened(cell)
    if found.refused:
        return found
    text = "" if found.value is None else str(found.value).upper().replace(",", ".").replace("−", "-")
    letter = "".join(character for character in text if character in "NSEW")
    body = text.removeprefix(letter).removesuffix(letter).strip() if letter else text
    if len(letter) > 1 or (letter and letter not in letters) or (letter and body.startswith("-")):
        return _bad(cell, what, f"its letter must be {letters[0]} or {letters[1]}, without a minus sign")
    parts = [part for part in _PARTS.split(body.removeprefix("-").removeprefix("+")) if part]
    size = _in_degrees(parts)
    if size is None:
        return _bad(cell, what, "write it like 47.1609 or 47 09.654 N")
    if size > limit:
        return _bad(cell, what, f"it lies between -{limit} and {limit} degrees")
    south_or_west = letter == letters[1] or body.startswith("-")
    return Reading((-size if south_or_west else size).quantize(_PLACES))


def _in_degrees(parts: list[str]) -> Decimal | None:
    """Return degrees [minutes [seconds]] as degrees; only the last part may have decimals, minutes and seconds < 60."""
    *whole, last = parts or [""]
    if len(whole) > 2 or not all(re.fullmatch(r"[0-9]{1,3}", part) for part in whole):
        return None
    if not re.fullmatch(r"[0-9]{1,3}(?:\.[0-9]+)?", last):
        return None
    numbers = [Decimal(part) for part in parts]
    if any(number >= 60 for number in numbers[1:]):
        return None
    return sum((number / 60**power for power, number in enumerate(numbers)), Decimal(0))


def _bad(cell: Cell, what: str, advice: str) -> Reading[Any]:
    seen = "The empty cell" if is_blank(cell) else shown(cell)
    return refusal("bad_position", f"{seen} is not a {what}: {advice}.", "" if is_blank(cell) else cell)
