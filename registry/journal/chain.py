"""Canonical JSON and the hash that chains one entry to the next. Pure."""

import hashlib
import json
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

ZEROS = "0" * 64
HASHED = (
    "seq", "happened_at", "entered_at", "who", "user_id", "what", "subject", "source", "reason", "corrects_id",
    "body", "prev",
)  # fmt: skip
_write = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode
# What most values are; the check for floats passes them by, which verification of a long journal feels.
_NO_FLOATS = frozenset({str, int, bool, type(None)})


def canonical(value: Any) -> str:
    """Return the one JSON text of `value`: sorted keys, no spaces, no floats.

    Raises TypeError for a float: binary fractions do not survive a round trip through every database.
    """
    _refuse_floats(value)
    return _write(value)


def _refuse_floats(value: Any) -> None:
    if isinstance(value, float):
        raise TypeError(f"{value!r} is a float; give a whole number, a text or a Decimal as text.")
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, list | tuple) else ()
    for item in inside:
        if type(item) not in _NO_FLOATS:
            _refuse_floats(item)


def moment(value: datetime) -> str:
    """Return an instant as UTC with microseconds, the same text whatever zone it came in."""
    return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def entry_hash(values: Sequence[Any]) -> str:
    """Return the SHA-256 (hex) of an entry's columns, given in the order of HASHED."""
    plain = [moment(value) if isinstance(value, datetime) else value for value in values]
    return hashlib.sha256(canonical(plain).encode("utf-8", "surrogatepass")).hexdigest()
