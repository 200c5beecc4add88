"""Cells to texts, names and codes, or a sentence that says why not.

Every reader here and in its neighbours takes a cell and returns a Reading; hang it on its field with `.on(field)`.
"""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from registry.rules.reading import Reading, refusal, shown, warning
from registry.rules.tags import TagCode, suggestions
from registry.rules.tags.raw import read_any
from registry.sheets.cells import Cell, UnsavedFormula, is_blank, tidy

TEXT_LIMIT = 200
NOTE_LIMIT = 4_000
UNKNOWN_WORDS = {
    "?", "??", "-", "–", "—", ".", "0", "wild", "w", "unk", "unk.", "unkn", "unknown", "na", "n/a", "nan", "none",
    "null", "not known", "founder", "wild caught", "wild fish", "river", "inconnu", "unbekannt", "unbek.",
    "desconocido", "desconocida",
}  # fmt: skip

_ERRORS = {"#REF!", "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!", "#SPILL!", "#CALC!", "#FIELD!"}
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_BETWEEN = re.compile(r"\s*(?:[+;,&\n]|/|\bor\b|\band\b|\boder\b|\bund\b)\s*", re.IGNORECASE)
_BETWEEN_TAGS = re.compile(r"[+;,&\n]")


def opened(cell: Cell, limit: int = TEXT_LIMIT) -> Reading[str | int | float | date | None]:
    """Return what a cell holds: a tidy text, a number, a day, or None when it is blank.

    Refuses `formula_without_value`, `error_value`, `control_character` and `too_long`.
    """
    if isinstance(cell, UnsavedFormula):
        message = (
            f"The formula ={shown(cell.text)} has no stored result. Open the file in the spreadsheet program, "
            "let it calculate, and save it again; or enter the value itself."
        )
        return refusal("formula_without_value", message, f"={cell.text}")
    if is_blank(cell):
        return Reading(None)
    if isinstance(cell, datetime):
        return Reading(cell.date())
    if isinstance(cell, time | timedelta | bool):
        return Reading(str(cell).upper())
    return _opened_text(cell, limit) if isinstance(cell, str) else Reading(cell)


def _opened_text(text: str, limit: int) -> Reading[str]:
    if tidy(text).upper() in _ERRORS:
        message = f"The spreadsheet shows the error {tidy(text)} here. Mend the formula, or enter the value itself."
        return refusal("error_value", message, text)
    if character := _CONTROL.search(text):
        message = (
            f"{shown(text)} holds a control character (number {ord(character[0])}) that cannot be seen. "
            "Delete the cell and type it again."
        )
        return refusal("control_character", message, text)
    if len(text) > limit:
        message = f"The cell has {len(text):,} characters; the register keeps at most {limit:,}. Shorten it."
        return refusal("too_long", message, text)
    return Reading(tidy(text))


def read_text(cell: Cell, limit: int = TEXT_LIMIT) -> Reading[str | None]:
    """Return a text on one line, or None for a blank cell. What looks like a formula or a script stays text."""
    found = opened(cell, limit)
    return found if found.value is None else Reading(_unmarked(plain_text(found.value)))


def _unmarked(text: str) -> str:
    """Return a text without the apostrophe that keeps a spreadsheet from running it, as in files to mend."""
    return text[1:] if re.match(r"'[=+\-@]", text) else text


def read_note(cell: Cell, limit: int = NOTE_LIMIT) -> Reading[str | None]:
    """Return a remark as it was written, line breaks too; control characters become spaces, with a warning."""
    if not isinstance(cell, str) or len(cell) > limit:
        return read_text(cell, limit)
    whole = _unmarked(cell.replace("\r\n", "\n").replace("\r", "\n").strip())
    text = _CONTROL.sub(" ", whole).strip()
    if text == whole:
        return Reading(text or None)
    message = f"{shown(cell)} holds control characters; each is kept as a space. Look whether a word was broken."
    return Reading(text or None, (warning("control_character", message, cell),))


def plain_text(value: str | int | float | date) -> str:
    """Return a value as a person would write it; whole numbers without a decimal point."""
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 2**53 else f"{value:.15g}"
    return value.isoformat() if isinstance(value, date) else str(value)


def id_key(name: str) -> str:
    """Return a fish, family or batch number in the form by which numbers are compared: no spaces, no capitals."""
    return "".join(tidy(name).split()).casefold()


def read_id(cell: Cell, spellings: Mapping[str, str] | None = None) -> Reading[str | None]:
    """Return a fish, family, batch or unit number, or None for a blank cell.

    `spellings` gives the register's own spelling by `id_key`; a number not in it gets capitals for its first letters
    (m18 is M18) and loses spaces beside a hyphen.
    """
    found = opened(cell)
    if isinstance(found.value, date):
        message = (
            f"The spreadsheet has turned this number into the day {found.value}; what was typed is gone. "
            "Format the column as text and type the number again."
        )
        return refusal("missing_id", message, found.value)
    if found.value is None:
        return found
    name = re.sub(r"\s*([-_/])\s*", r"\1", plain_text(found.value).strip("'"))
    if spellings and (own := spellings.get(id_key(name))) is not None:
        return Reading(own)
    return Reading(name.upper() if re.fullmatch(r"[a-z]{1,3}[-_ ]?\d[\w\- ]*", name) else name)


def read_key(cell: Cell, spellings: Mapping[str, str] | None = None) -> Reading[str]:
    """Return the number that names a row's record; a blank cell is refused with `missing_id`."""
    found = read_id(cell, spellings)
    if found.value is None and not found.refused:
        return refusal("missing_id", "The row has no number here, so nobody could find it again. Enter the number.")
    return found


def read_ids(cell: Cell, spellings: Mapping[str, str] | None = None) -> Reading[tuple[str, ...]]:
    """Return the numbers that a cell lists (06-01+06-02, or with `;` `,` `&` `/` `or`), each once; () when blank."""
    whole = read_id(cell, spellings)
    if whole.value is None:
        return Reading((), whole.objections) if not whole.refused else whole
    if spellings and id_key(whole.value) in spellings:
        return Reading((whole.value,))
    parts = [read_id(part, spellings).value for part in _BETWEEN.split(str(cell)) if part.strip()]
    return Reading(tuple(dict.fromkeys(part for part in parts if part is not None)))


def read_parents(cell: Cell, spellings: Mapping[str, str] | None = None) -> Reading[tuple[str | None, ...]]:
    """Return the possible parents, in equal shares: () when unknown; None among several for an unknown one."""
    found = read_ids(cell, spellings)
    if found.refused or not found.value:
        return found
    parents = tuple(None if name.casefold() in UNKNOWN_WORDS else name for name in found.value)
    if parents == (None,) or _unknown(cell):
        return Reading(())
    if len(parents) == 1:
        return Reading(parents)
    names = ", ".join(name or "an unknown fish" for name in parents)
    message = f"{shown(cell)} is read as pooled: {names}, with equal chance each."
    return Reading(parents, (warning("pooled_parent", message, cell),))


def _unknown(cell: Cell) -> bool:
    return tidy(str(cell)).casefold() in UNKNOWN_WORDS


def read_tag(cell: Cell, raw: str = "") -> Reading[TagCode]:
    """Return the tag code of a cell; numbers that the spreadsheet may have changed are refused.

    `raw` names the order in which a reader hands out bits, for cells that hold raw bits.
    """
    found = opened(cell)
    if found.refused:
        return found
    if isinstance(found.value, date) or (isinstance(found.value, float) and not found.value.is_integer()):
        message = f"{shown(found.value)} is not a tag code. Format the column as text and enter the code as read."
        return refusal("bad_code", message, found.value)
    text = "" if found.value is None else plain_text(found.value)
    return _with_slips(read_any(text, raw), text)


def _with_slips(reading: Reading[TagCode], text: str) -> Reading[TagCode]:
    """Name in a refusal the codes that may have been meant, where it does not name them yet."""
    if not reading.refused:
        return reading
    first, *rest = reading.objections
    meant = [one.code for one in suggestions(text) if one.code not in first.message]
    if not meant:
        return reading
    return Reading(None, (replace(first, message=f"{first.message} Perhaps {' or '.join(meant)} is meant."), *rest))


def read_tags(cell: Cell, raw: str = "") -> Reading[tuple[TagCode, ...]]:
    """Return the codes that a cell lists, parted by `;` `,` `+` `&` or line breaks."""
    if not isinstance(cell, str):
        one = read_tag(cell, raw)
        return one if one.refused else Reading((one.value,), one.objections)
    if (found := opened(cell)).refused:
        return found
    readings = [read_tag(part, raw) for part in _BETWEEN_TAGS.split(cell) if part.strip()] or [read_tag("")]
    objections = tuple(objection for reading in readings for objection in reading.objections)
    if any(reading.refused for reading in readings):
        return Reading(None, objections)
    return Reading(tuple(reading.value for reading in readings), objections)
