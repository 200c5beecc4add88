"""Files of a few columns that people write by hand: with a heading or without."""

from collections.abc import Sequence
from pathlib import Path

from breeding.genetics.csv_files.reading import FileRefused, Reason, Sheet, lines_of, read_sheet


def read_short_sheet(path: Path, required: Sequence[str], optional: Sequence[str] = ()) -> Sheet:
    """Read a file whose first row is a heading, or whose columns stand in the usual order.

    Parameters
    ----------
    required, optional
        Names of the columns. A first row that holds one of the required names is a heading.

    Raises
    ------
    FileRefused
        Rows with too few or too many cells, or none at all.
    """
    lines = list(lines_of(path))
    columns = [*required, *optional]
    if not lines:
        raise FileRefused([Reason(path.name, None, f"is empty. Give one row each: {','.join(columns)}.")])
    if {cell.lower() for cell in lines[0][1]} & set(required):
        return read_sheet(path, required, optional)
    reasons = [
        Reason(path.name, row, f"has {len(cells)} cells. Give {','.join(columns)}, or a heading.")
        for row, cells in lines
        if not len(required) <= len(cells) <= len(columns)
    ]
    if reasons:
        raise FileRefused(reasons)
    return Sheet([(row, (*cells, *[""] * (len(columns) - len(cells)))) for row, cells in lines], [])
