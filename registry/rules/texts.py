"""What any text of any entry may hold."""

import unicodedata
from dataclasses import fields, is_dataclass
from typing import Any

from registry.errors import Objection
from registry.rules.reading import shown

LONGEST_NUMBER = 40
LONGEST_LINE = 120
LONGEST_NOTE = 4000
LINE_BREAKS = "\n\r\t"


def objections_to_texts(entry: Any, lengths: dict[str, int] | None = None) -> list[Objection]:
    """Return what is wrong with the text fields of an entry (a dataclass): control characters, too long.

    `lengths` names fields with a limit of their own; notes may be long, all others are a line.
    """
    limits = {
        "notes": LONGEST_NOTE,
        "reason": LONGEST_NOTE,
        "permit_reason": LONGEST_NOTE,
        "number": LONGEST_NUMBER,
        **(lengths or {}),
    }
    found: list[Objection] = []
    for field in fields(entry):
        value = getattr(entry, field.name)
        if isinstance(value, str):
            found += _objections_to(field.name, value, limits.get(field.name, LONGEST_LINE))
        elif isinstance(value, tuple):
            for item in value:
                if is_dataclass(item) and not isinstance(item, type):
                    found += objections_to_texts(item, lengths)
    return found


def control_characters(text: str) -> list[str]:
    """Return the control characters in a text, line breaks and tabs apart."""
    return [c for c in text if unicodedata.category(c) == "Cc" and c not in LINE_BREAKS]


def _objections_to(field: str, value: str, limit: int) -> list[Objection]:
    found = []
    odd = control_characters(value)
    if odd:
        found.append(
            Objection(
                "control_character",
                field,
                f"“{shown(value)}” holds a control character (U+{ord(odd[0]):04X}) that no one can see. Type it again.",
                shown(value),
            )
        )
    if len(value) > limit:
        found.append(
            Objection(
                "too_long",
                field,
                f"This is {len(value)} characters long; at most {limit} fit. Shorten it.",
                shown(value),
            )
        )
    return found
