"""Plain CSV files, read with the row numbers that a person sees, and refused with all reasons at once."""

import csv
from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from io import StringIO
from operator import itemgetter
from pathlib import Path
from typing import NamedTuple

UNKNOWN = frozenset({"", "0", ".", "NA", "?"})


class Reason(NamedTuple):
    """One reason why a file is refused; ``row`` 1 is the heading, None the file as a whole."""

    file: str
    row: int | None
    message: str

    def __str__(self) -> str:
        return f"{self.file}{'' if self.row is None else f', row {self.row}'}: {self.message}"


class FileRefused(ValueError):
    """A file cannot be used; ``reasons`` says why, row by row."""

    def __init__(self, reasons: Sequence[Reason]) -> None:
        super().__init__("\n".join(str(reason) for reason in reasons))
        self.reasons = list(reasons)


@dataclass(frozen=True)
class Sheet:
    """The rows of a file by column, and what was left aside.

    Attributes
    ----------
    rows
        Row number and cells, stripped, one for each of the columns asked for.
    ignored
        Headings that mean nothing here.
    """

    rows: list[tuple[int, tuple[str, ...]]]
    ignored: list[str]


def lines_of(path: Path) -> Iterator[tuple[int, list[str]]]:
    """Row numbers and cells of a comma-separated UTF-8 file, blank rows left out.

    Raises
    ------
    FileRefused
        The file is not UTF-8 text or has a quote that is never closed.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = error.object[: error.start].count(b"\n") + 1
        raise FileRefused(
            [Reason(path.name, row, "is not UTF-8 text. Save the sheet as “CSV UTF-8 (comma separated)”.")]
        ) from None
    if "\0" in text:
        row = text[: text.index("\0")].count("\n") + 1
        raise FileRefused(
            [Reason(path.name, row, "holds binary data. Save the sheet as CSV UTF-8, not as a workbook.")]
        )
    row = 0
    reader = csv.reader(StringIO(text, newline=""), strict=True)
    try:
        for row, cells in enumerate(reader, start=1):
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                yield row, stripped
    except csv.Error as error:
        raise FileRefused([Reason(path.name, row + 1, f"cannot be read ({error}). Check its quotes.")]) from None


def read_sheet(path: Path, required: Sequence[str], optional: Sequence[str] = ()) -> Sheet:
    """Read the named columns of a file, in whatever order it has them.

    Raises
    ------
    FileRefused
        A required column is missing, a column comes twice, or rows are longer or shorter than the heading.
    """
    lines = lines_of(path)
    row, heading = next(lines, (1, []))
    names = [name.lower() for name in heading]
    columns = [*required, *optional]
    _refuse_heading(path.name, row, names, (required, columns))
    # An empty cell is put behind each row, where the columns look that the file does not have.
    wanted = itemgetter(*(names.index(column) if column in names else len(names) for column in columns))
    rows: list[tuple[int, tuple[str, ...]]] = []
    reasons: list[Reason] = []
    for row, cells in lines:
        if len(cells) == len(names):
            cells.append("")
            rows.append((row, wanted(cells)))
        else:
            reasons.append(
                Reason(path.name, row, f"has {len(cells)} cells, the heading {len(names)}. Make them the same.")
            )
    if reasons:
        raise FileRefused(reasons)
    if not rows:
        raise FileRefused([Reason(path.name, None, "has no rows below the heading. Add one row per fish.")])
    return Sheet(rows, [name for name, lower in zip(heading, names, strict=True) if lower not in columns])


def _refuse_heading(file: str, row: int, names: list[str], wanted: tuple[Sequence[str], Sequence[str]]) -> None:
    required, columns = wanted
    missing = [column for column in required if column not in names]
    if not names:
        raise FileRefused([Reason(file, None, f"is empty. It needs a heading: {','.join(required)}.")])
    if missing:
        hint = " Separate the cells with commas." if len(names) == 1 and (";" in names[0] or "\t" in names[0]) else ""
        raise FileRefused(
            [Reason(file, row, f"lacks the column {', '.join(missing)}; found: {', '.join(names)}.{hint}")]
        )
    twice = [column for column in columns if names.count(column) > 1]
    if twice:
        raise FileRefused([Reason(file, row, f"has the column {', '.join(twice)} more than once. Remove one.")])


def read_ids(path: Path, known: Iterable[Hashable]) -> list[str]:
    """Read a list of fish, one id a line.

    Raises
    ------
    FileRefused
        A line has several cells, an id comes twice or is not among the ``known``, or there is none at all.
    """
    found: dict[str, int] = {}
    reasons: list[Reason] = []
    among = set(known)
    for row, cells in lines_of(path):
        name = cells[0]
        if len(cells) > 1:
            reasons.append(Reason(path.name, row, f"has {len(cells)} cells. Give one id a line."))
        elif name in found:
            reasons.append(Reason(path.name, row, f"{name} stands in row {found[name]} already. Name each fish once."))
        elif name not in among:
            reasons.append(Reason(path.name, row, f"{name} is not in the pedigree. Check the spelling."))
        else:
            found[name] = row
    if reasons:
        raise FileRefused(reasons)
    if not found:
        raise FileRefused([Reason(path.name, None, "names no fish. Give one id a line.")])
    return list(found)
