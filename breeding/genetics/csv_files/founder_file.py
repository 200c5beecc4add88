"""Kinship among founders as a plain file of pairs."""

from pathlib import Path

import numpy as np

from breeding.genetics.csv_files.cells import CellError, number
from breeding.genetics.csv_files.reading import FileRefused, Reason, read_sheet
from breeding.genetics.errors import PedigreeError
from breeding.genetics.pedigree import Pedigree, with_related_founders
from breeding.genetics.polysomic import founder_inbreeding, self_kinship

Places = dict[tuple[str, str], int]


def with_founder_file(path: Path, pedigree: Pedigree) -> Pedigree:
    """The same pedigree with kinship among its founders from a file.

    Raises
    ------
    FileRefused
        As :func:`read_founder_kinship`, and for values that no population can have, with the row.
    """
    names, matrix, rows = read_founder_kinship(path, pedigree)
    try:
        return with_related_founders(pedigree, names, matrix)
    except PedigreeError as error:
        a, b = [str(fish) for fish in (*error.fish, *error.fish)][:2] if error.fish else ("", "")
        row = rows.get((min(a, b), max(a, b)))
        raise FileRefused([Reason(path.name, row, str(error))]) from error


def read_founder_kinship(path: Path, pedigree: Pedigree) -> tuple[list[str], np.ndarray, Places]:
    """Read founder kinships, ``a,b,kinship``.

    Parameters
    ----------
    pedigree
        In which the founders are looked up, with the inheritance of those whose self-kinship is not in the file.

    Returns
    -------
    ids
        Founders named in the file.
    matrix : (ids, ids) float
        A pair that is not in the file has 0, a founder with itself the value of its ploidy.
    rows
        Where each pair stands, by its names in order.

    Raises
    ------
    FileRefused
        With every row that names no founder, contradicts another or is no number.
    """
    sheet = read_sheet(path, ("a", "b", "kinship"))
    founders = {pedigree.ids[fish]: int(fish) for fish in pedigree.founders()}
    known = set(pedigree.ids)
    given: dict[tuple[str, str], tuple[float, int]] = {}
    reasons: list[Reason] = []
    for row, (a, b, cell) in sheet.rows:
        for name in dict.fromkeys((a, b)):
            if name not in founders:
                why = "has a known parent, so it is no founder" if name in known else "is not in the pedigree"
                reasons.append(Reason(path.name, row, f"{name} {why}. Name founders only."))
        try:
            value = number(cell, "kinship")
        except CellError as error:
            reasons.append(Reason(path.name, row, str(error)))
            continue
        before = given.setdefault((min(a, b), max(a, b)), (value, row))
        if before[0] != value:
            reasons.append(
                Reason(path.name, row, f"kinship of {a} and {b} is {value:g}, but {before[0]:g} in row {before[1]}.")
            )
    if reasons:
        raise FileRefused(reasons)
    names = list(dict.fromkeys(name for pair in given for name in pair))
    place = {name: at for at, name in enumerate(names)}
    matrix = np.diag(_unrelated(pedigree, [founders[name] for name in names]))
    for (a, b), (value, _) in given.items():
        matrix[place[a], place[b]] = matrix[place[b], place[a]] = value
    return names, matrix, {pair: row for pair, (_, row) in given.items()}


def _unrelated(pedigree: Pedigree, fish: list[int]) -> np.ndarray:
    """Self-kinship of founders of which markers say nothing, (fish,)."""
    ploidy = pedigree.ploidy[fish]
    reduction = pedigree.families.double_reduction.sum(axis=1)[pedigree.family[fish]]
    alone: np.ndarray = self_kinship(founder_inbreeding(ploidy, reduction), ploidy)
    return alone
