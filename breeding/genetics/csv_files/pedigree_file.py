"""A pedigree as a plain file: who are the parents of each fish, how sure, and what else is known of it."""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from breeding.genetics.csv_files.cells import CellError, choice, share, whole
from breeding.genetics.csv_files.reading import UNKNOWN, FileRefused, Reason, read_sheet
from breeding.genetics.engine.rows import Inheritance, ParentRow

REQUIRED = ("id", "dam", "sire")
OPTIONAL = (
    "sex",
    "year",
    "origin",
    "probability",
    "draw",
    "dam_copies",
    "sire_copies",
    "dam_double_reduction",
    "sire_double_reduction",
)
SEXES = ("F", "M")
TWO_PARENTS = "Correct the row, or leave out --two-parents if selfing and clones are meant."
ORIGINS = ("wild", "hatchery", "captive", "unknown")


@dataclass(slots=True)
class FishFacts:
    """What a file says of one fish, and in which rows."""

    row: int
    more_rows: tuple[int, ...] = ()
    sex: str | None = None
    year: int | None = None
    origin: str | None = None


@dataclass(frozen=True)
class PedigreeFile:
    """A file that was read.

    Attributes
    ----------
    rows
        Parent rows in the order of the file.
    row_numbers
        Their numbers in the file.
    facts
        By id; fish seen only as parents are missing.
    ignored
        Headings of columns that were left aside.
    """

    name: str
    rows: list[ParentRow]
    row_numbers: list[int]
    facts: dict[str, FishFacts]
    ignored: list[str]

    def places(self, fish: str) -> str:
        """In which rows a fish stands, in words; empty if it has none."""
        if fish not in self.facts:
            return ""
        rows = self.facts[fish].row, *self.facts[fish].more_rows
        return f"row {rows[0]}" if len(rows) == 1 else "rows " + ", ".join(str(row) for row in rows)


def read_pedigree(path: Path, default: Inheritance, *, two_parents: bool = False) -> PedigreeFile:
    """Read a pedigree file.

    Parameters
    ----------
    path
        Comma-separated UTF-8 with the columns ``id``, ``dam`` and ``sire``, others optional; an unknown parent is
        empty, ``0``, ``.``, ``NA`` or ``?``.
    default
        Inheritance where a row does not say.
    two_parents
        Refuse selfing and clones.

    Raises
    ------
    FileRefused
        With every row that cannot be right.
    """
    sheet = read_sheet(path, REQUIRED, OPTIONAL)
    rows: list[ParentRow] = []
    reasons: list[Reason] = []
    facts: dict[str, FishFacts] = {}
    for number, cells in sheet.rows:
        fish, dam, sire = cells[:3]
        try:
            _refuse_id(fish)
            told = _optional(cells[3:], default)
            known = facts.get(fish)
            if known is None:
                facts[fish] = FishFacts(number, (), told.sex, told.year, told.origin)
            else:
                _note(fish, known, told)
                known.more_rows += (number,)
            rows.append(
                ParentRow(fish, None if dam in UNKNOWN else dam, None if sire in UNKNOWN else sire, *told.inheritance)
            )
        except CellError as error:
            reasons.append(Reason(path.name, number, str(error)))
    if not reasons:
        numbers = [number for number, _ in sheet.rows]
        reasons = _contradictions(path.name, rows, numbers, facts)
        reasons += _of_one_parent(path.name, rows, numbers) if two_parents else []
    if reasons:
        raise FileRefused(reasons)
    return PedigreeFile(path.name, rows, numbers, facts, sheet.ignored)


def _refuse_id(name: str) -> None:
    if name in UNKNOWN:
        raise CellError(
            "has no id. Give every fish a name." if not name else f"has the id {name}, which means unknown."
        )


class _Told(NamedTuple):
    """The optional cells of a row; ``inheritance`` is what a ParentRow takes after the parents."""

    sex: str | None
    year: int | None
    origin: str | None
    inheritance: tuple[float, str | None, tuple[int, int] | None, tuple[float, float] | None]


@lru_cache(maxsize=8192)
def _optional(cells: tuple[str, ...], default: Inheritance) -> _Told:
    # Kept, because the same few combinations of sex, year and origin make up most files.
    sex, year, origin, probability, draw, *inheritance = cells
    chance = share(probability, "probability", 1.0)
    if not chance:
        raise CellError("has probability 0. Leave out parents that are impossible, or give a number above 0.")
    copies = (
        whole(inheritance[0], "dam_copies", default.copies[0]),
        whole(inheritance[1], "sire_copies", default.copies[1]),
    )
    reduction = (
        share(inheritance[2], "dam_double_reduction", default.double_reduction[0]),
        share(inheritance[3], "sire_double_reduction", default.double_reduction[1]),
    )
    return _Told(
        sex=choice("" if sex in UNKNOWN | {"U"} else sex.upper(), "sex", SEXES),
        year=whole("" if year in UNKNOWN else year, "year", None),
        origin=choice("" if origin in UNKNOWN else origin.lower(), "origin", ORIGINS),
        inheritance=(
            chance,
            draw or None,
            None if copies == default.copies else copies,
            None if reduction == default.double_reduction else reduction,
        ),
    )


def _note(fish: str, known: FishFacts, told: _Told) -> None:
    """Complete sex, year and origin by a further row of the fish; rows must not contradict each other."""
    for name in ("sex", "year", "origin"):
        before, value = getattr(known, name), getattr(told, name)
        if value is not None and before not in (None, value):
            raise CellError(f"says {name} {value} of {fish}, row {known.row} says {before}. Make them agree.")
        if value is not None:
            setattr(known, name, value)


def _of_one_parent(file: str, rows: list[ParentRow], numbers: list[int]) -> list[Reason]:
    """Fish that have all their genes from one parent."""
    refused = []
    for number, row in zip(numbers, rows, strict=True):
        if row.dam is not None and row.dam == row.sire:
            refused.append(Reason(file, number, f"names {row.dam} as dam and sire of {row.fish}. {TWO_PARENTS}"))
        elif row.copies is not None and 0 in row.copies:
            refused.append(Reason(file, number, f"gives {row.fish} all gene copies from one parent. {TWO_PARENTS}"))
    return refused


def _contradictions(file: str, rows: list[ParentRow], numbers: list[int], facts: dict[str, FishFacts]) -> list[Reason]:
    """Parents of the wrong sex, and parents younger than their offspring."""
    reasons = []
    for number, row in zip(numbers, rows, strict=True):
        young = facts[str(row.fish)]
        for role, parent, sex in (("dam", row.dam, "F"), ("sire", row.sire, "M")):
            known = facts.get(str(parent)) if parent is not None else None
            if known is None:
                continue
            if known.sex not in (None, sex):
                word = "male" if known.sex == "M" else "female"
                message = (
                    f"names {parent} as {role} of {row.fish}, but row {known.row} records it as {word}. Correct "
                    "the parent or the sex."
                )
                reasons.append(Reason(file, number, message))
            if young.year is not None and known.year is not None and known.year > young.year:
                message = (
                    f"names {parent} of {known.year} as {role} of {row.fish} of {young.year}. A parent is not younger "
                    "than its young: correct a year or the parent."
                )
                reasons.append(Reason(file, number, message))
    return reasons
