"""A pedigree as a plain file: who are the parents of each fish, how sure, and what else is known of it."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

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
Value = TypeVar("Value", int, float)
SEXES = ("F", "M")
ORIGINS = ("wild", "hatchery", "captive", "unknown")


@dataclass
class FishFacts:
    """What a file says of one fish, and in which rows."""

    rows: list[int] = field(default_factory=list)
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
        rows = self.facts[fish].rows if fish in self.facts else []
        if not rows:
            return ""
        return f"row {rows[0]}" if len(rows) == 1 else "rows " + ", ".join(str(row) for row in rows)


def read_pedigree(path: Path, default: Inheritance) -> PedigreeFile:
    """Read a pedigree file.

    Parameters
    ----------
    path
        Comma-separated UTF-8 with the columns ``id``, ``dam`` and ``sire``, others optional; an unknown parent is
        empty, ``0``, ``.``, ``NA`` or ``?``.
    default
        Inheritance where a row does not say.

    Raises
    ------
    FileRefused
        With every row that cannot be right.
    """
    sheet = read_sheet(path, REQUIRED, OPTIONAL)
    rows: list[ParentRow] = []
    numbers: list[int] = []
    reasons: list[Reason] = []
    facts: dict[str, FishFacts] = defaultdict(FishFacts)
    plain = not sheet.present.intersection(OPTIONAL)
    for number, cells in sheet.rows:
        try:
            _refuse_id(cells[0])
            if plain:
                rows.append(ParentRow(cells[0], _parent(cells[1]), _parent(cells[2])))
            else:
                rows.append(_parent_row(cells, default))
                _note(facts[cells[0]], cells)
            facts[cells[0]].rows.append(number)
            numbers.append(number)
        except CellError as error:
            reasons.append(Reason(path.name, number, str(error)))
    if not reasons:
        reasons = _contradictions(path.name, rows, numbers, facts)
    if reasons:
        raise FileRefused(reasons)
    return PedigreeFile(path.name, rows, numbers, dict(facts), sheet.ignored)


def _refuse_id(name: str) -> None:
    if name in UNKNOWN:
        raise CellError(
            "has no id. Give every fish a name." if not name else f"has the id {name}, which means unknown."
        )


def _parent(cell: str) -> str | None:
    return None if cell in UNKNOWN else cell


def _both(
    read: Callable[[str, str, Value], Value], cells: list[str], names: tuple[str, ...], default: tuple[Value, Value]
) -> tuple[Value, Value]:
    """A value for the dam's gamete and one for the sire's."""
    return read(cells[0], names[0], default[0]), read(cells[1], names[1], default[1])


def _told(cell: str, *unknown: str) -> str:
    return "" if cell in UNKNOWN or cell in unknown else cell


def _parent_row(cells: list[str], default: Inheritance) -> ParentRow:
    copies = _both(whole, cells[8:10], OPTIONAL[5:7], default.copies)
    reduction = _both(share, cells[10:12], OPTIONAL[7:9], default.double_reduction)
    probability = share(cells[6], "probability", 1.0)
    if not probability:
        raise CellError("has probability 0. Leave out parents that are impossible, or give a number above 0.")
    return ParentRow(
        fish=cells[0],
        dam=_parent(cells[1]),
        sire=_parent(cells[2]),
        probability=probability,
        draw=cells[7] or None,
        copies=None if copies == default.copies else copies,
        double_reduction=None if reduction == default.double_reduction else reduction,
    )


def _note(facts: FishFacts, cells: list[str]) -> None:
    """Keep sex, year and origin; the rows of one fish must not contradict each other."""
    found = {
        "sex": choice(_told(cells[3], "U").upper(), "sex", SEXES),
        "year": whole(_told(cells[4]), "year", None),
        "origin": choice(_told(cells[5]).lower(), "origin", ORIGINS),
    }
    for name, value in found.items():
        before = getattr(facts, name)
        if value is not None and before not in (None, value):
            raise CellError(f"says {name} {value} of {cells[0]}, row {facts.rows[0]} says {before}. Make them agree.")
        if value is not None:
            setattr(facts, name, value)


def _contradictions(file: str, rows: list[ParentRow], numbers: list[int], facts: dict[str, FishFacts]) -> list[Reason]:
    """Parents of the wrong sex, and parents younger than their offspring."""
    reasons = []
    nothing = FishFacts()
    for number, row in zip(numbers, rows, strict=True):
        year = facts[str(row.fish)].year
        for role, parent, sex in (("dam", row.dam, "F"), ("sire", row.sire, "M")):
            known = facts.get(str(parent), nothing)
            if known.sex not in (None, sex):
                word = "male" if known.sex == "M" else "female"
                reasons.append(
                    Reason(
                        file,
                        number,
                        f"names {parent} as {role} of {row.fish}, but row {known.rows[0]} records it as "
                        f"{word}. Correct the parent or the sex.",
                    )
                )
            if year is not None and known.year is not None and known.year > year:
                reasons.append(
                    Reason(
                        file,
                        number,
                        f"names {parent} of {known.year} as {role} of {row.fish} of {year}. A parent is "
                        "not younger than its young: correct a year or the parent.",
                    )
                )
    return reasons
