"""How much room words take, without asking a font: estimated for a common sans-serif face, rather too wide."""

import unicodedata

NARROW, WIDE = "fijlrtI.,:;'|!()[] ", "mwMW@%—"
ELLIPSIS = "…"


def text_width(text: str, size: float) -> float:
    """Estimated width of one line in the unit of `size`."""
    return size * sum(_letter_width(letter) for letter in text)


def _letter_width(letter: str) -> float:
    if unicodedata.combining(letter):
        return 0.0
    if unicodedata.east_asian_width(letter) in "WF":
        return 1.05
    if letter in NARROW:
        return 0.36
    if letter in WIDE:
        return 0.95
    return 0.70 if letter.isupper() else 0.59


def shortened(text: str, size: float, room: float) -> str:
    """The text, cut with an ellipsis where it would not fit into `room`."""
    if text_width(text, size) <= room:
        return text
    kept = text
    while kept and text_width(kept + ELLIPSIS, size) > room:
        kept = kept[:-1]
    return kept.rstrip() + ELLIPSIS


def wrapped(text: str, size: float, room: float, lines: int) -> list[str]:
    """At most `lines` lines that fit into `room`, broken at spaces where there are any; the rest is cut."""
    rows: list[str] = []
    left = text.split()
    while left and len(rows) < lines - 1:
        taken = 1
        while taken < len(left) and text_width(" ".join(left[: taken + 1]), size) <= room:
            taken += 1
        rows.append(shortened(" ".join(left[:taken]), size, room))
        left = left[taken:]
    if left:
        rows.append(shortened(" ".join(left), size, room))
    return rows
