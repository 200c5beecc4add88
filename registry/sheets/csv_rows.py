"""CSV, as spreadsheet programs and loggers write it, to rows."""

import csv
import io
from collections import Counter
from collections.abc import Callable, Iterator

from registry.errors import Objection, Refused
from registry.sheets.cells import MAX_COLUMNS, Row

DELIMITERS = ",;\t|"
_SAMPLE = 64 * 1024
# Bytes that cp1252 leaves undefined stay what they are, so that the cell is reported as holding a control character.
_UNDEFINED = {0xDC00 + byte: byte for byte in (0x81, 0x8D, 0x8F, 0x90, 0x9D)}


def csv_rows(data: bytes, knows: Callable[[str], bool]) -> Iterator[Row]:
    """Yield every row, blank ones too; a quoted cell with line breaks is one row.

    `knows` tells a known heading, which settles the delimiter. Raises Refused when the quotes do not match.
    """
    text = decoded(data)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter_of(text, knows))
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            while len(cells) > MAX_COLUMNS and not cells[-1].strip():
                cells.pop()
            yield Row(number, tuple(cells))
    except csv.Error as error:
        message = (
            f"The row after row {number} cannot be read: a quotation mark is probably not closed. "
            "Mend that row, or save the file as XLSX and take that."
        )
        raise Refused(Objection("not_a_table", "", message)) from error


def decoded(data: bytes) -> str:
    """Return the text of a file in UTF-8 (with or without its mark), UTF-16 with its mark, or else cp1252."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "surrogateescape").translate(_UNDEFINED)


def delimiter_of(text: str, knows: Callable[[str], bool]) -> str:
    """Return the character between cells: the one that shows most known headings in a row, then the steadiest."""
    sample = text[:_SAMPLE]

    def fitness(delimiter: str) -> tuple[int, int]:
        rows = list(csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter))[:100]
        known = max((sum(knows(cell) for cell in row) for row in rows), default=0)
        widths = Counter(len(row) for row in rows if len(row) > 1)
        return known, max(widths.values(), default=0)

    return max(DELIMITERS, key=fitness)
