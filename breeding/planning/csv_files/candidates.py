"""Candidate files: who may be crossed, and how often."""

from dataclasses import dataclass
from pathlib import Path

from breeding.genetics.csv_files.cells import CellError, whole
from breeding.genetics.csv_files.lineage import Lineage
from breeding.genetics.csv_files.reading import FileRefused, Reason
from breeding.planning.csv_files.sheets import read_short_sheet

WORDS = {"F": "female", "M": "male"}


@dataclass(frozen=True)
class Listed:
    """A candidate: its row in the file, and how often it may be used; None without a limit."""

    row: int
    most: int | None


def read_candidates(path: Path, lineage: Lineage, sex: str) -> dict[str, Listed]:
    """Read the candidates of one sex, ``id[,max_crosses]``; an empty number is no limit.

    Parameters
    ----------
    sex
        ``F`` or ``M``.

    Raises
    ------
    FileRefused
        With every row that names no fish of the pedigree, one twice, one of the contrary sex or one that cannot breed.
    """
    found: dict[str, Listed] = {}
    reasons: list[Reason] = []
    known = {str(name): place for place, name in enumerate(lineage.pedigree.ids)}
    for row, (name, most) in read_short_sheet(path, ("id",), ("max_crosses",)).rows:
        try:
            if name in found:
                raise CellError(f"{name} stands in row {found[name].row} already. Name each fish once.")
            if name not in known:
                raise CellError(f"{name} is not in the pedigree. Check the spelling.")
            _refuse_sex(lineage, name, sex)
            _refuse_odd_ploidy(name, int(lineage.pedigree.ploidy[known[name]]))
            found[name] = Listed(row, whole(most, "max_crosses", None))
        except CellError as error:
            reasons.append(Reason(path.name, row, str(error)))
    if reasons:
        raise FileRefused(reasons)
    return found


def refuse_both(males: Path, listed_males: dict[str, Listed], females: Path, listed: dict[str, Listed]) -> None:
    """Refuse fish that stand in both files."""
    reasons = [
        Reason(males.name, one.row, f"{name} stands in {females.name}, row {listed[name].row}, too. Remove one.")
        for name, one in listed_males.items()
        if name in listed
    ]
    if reasons:
        raise FileRefused(reasons)


def _refuse_sex(lineage: Lineage, name: str, sex: str) -> None:
    facts = lineage.file.facts.get(name)
    if facts is not None and facts.sex not in (None, sex):
        raise CellError(
            f"{name} is recorded as {WORDS[facts.sex or '']} in {lineage.file.name}, {lineage.file.places(name)}; this "
            f"file lists {WORDS[sex]}s. Correct the sex, or move the fish to the other file."
        )


def _refuse_odd_ploidy(name: str, ploidy: int) -> None:
    if ploidy % 2:
        raise CellError(f"{name} has {ploidy} gene copies; a fish of an odd number is not bred from. Remove it.")
