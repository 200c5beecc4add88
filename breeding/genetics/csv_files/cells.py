"""One cell of a file to one value, or a sentence why not."""

from collections.abc import Sequence
from math import isfinite
from typing import TypeVar

Default = TypeVar("Default", int, None)


class CellError(ValueError):
    """A cell that has no meaning here."""


def number(cell: str, name: str) -> float:
    """A number with a decimal point."""
    try:
        value = float(cell)
    except ValueError:
        hint = " Use a decimal point." if "," in cell else ""
        raise CellError(f"{name} is “{cell}”, which is not a number.{hint}") from None
    if not isfinite(value):
        raise CellError(f"{name} is “{cell}”. Give a plain number.")
    return value


def share(cell: str, name: str, default: float) -> float:
    """A number from 0 to 1; the default where empty."""
    if not cell:
        return default
    value = number(cell, name)
    if not 0 <= value <= 1:
        raise CellError(f"{name} is {cell}. It must lie from 0 to 1.")
    return value


def whole(cell: str, name: str, default: Default) -> int | Default:
    """A whole number, not negative; the default where empty."""
    if not cell:
        return default
    value = number(cell, name)
    if value < 0 or value != int(value):
        raise CellError(f"{name} is {cell}. It must be a whole number, not negative.")
    return int(value)


def choice(cell: str, name: str, allowed: Sequence[str]) -> str | None:
    """One of a few words; None where empty."""
    if not cell:
        return None
    if cell not in allowed:
        raise CellError(f"{name} is “{cell}”. Use {', '.join(allowed)} or leave it empty.")
    return cell
