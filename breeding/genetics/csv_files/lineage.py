"""The genetics of a pedigree file: read, computed and written, without a database."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from breeding.genetics.ancestry import wild_origin
from breeding.genetics.csv_files.founder_file import with_founder_file
from breeding.genetics.csv_files.pedigree_file import PedigreeFile, read_pedigree
from breeding.genetics.csv_files.reading import FileRefused, Reason, read_ids
from breeding.genetics.csv_files.writing import Folder
from breeding.genetics.diversity import GroupKinship, founder_genome_equivalents, group_kinship
from breeding.genetics.errors import PedigreeError
from breeding.genetics.founders import (
    Contributions,
    contributions,
    effective_ancestors,
    founder_equivalents,
    unknown_name,
)
from breeding.genetics.gene_drop import Retention, allele_retention
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import breeder_kinship, genes_of, self_kinship_of_positions
from breeding.genetics.pedigree import Pedigree, build_pedigree, inheritance

# A square of so many fish is written without being asked for.
SQUARE = 2_000
ROWS_AT_ONCE = 256
BYTES_A_NUMBER = 12

# Told the name of a step when it begins, and nothing now and then while it lasts.
Progress = Callable[[str | None], None]


@dataclass(frozen=True)
class Question:
    """What to compute: files and genetic assumptions."""

    pedigree: Path
    living: Path | None = None
    kinship_of: Path | None = None
    founder_kinship: Path | None = None
    ploidy: int = 2
    double_reduction: float = 0.0
    two_parents: bool = False
    drops: int = 10_000
    seed: int = 1


@dataclass(frozen=True)
class Lineage:
    """A pedigree file, ready to compute with."""

    file: PedigreeFile
    pedigree: Pedigree


@dataclass(frozen=True, eq=False)
class Answer:
    """All that was computed, but the kinship square, which is written as it is computed."""

    lineage: Lineage
    inbreeding: np.ndarray
    group: GroupKinship
    found: Contributions
    kept: Retention
    square: np.ndarray | None
    notes: list[str]
    summary: dict[str, object]


def read_lineage(question: Question) -> Lineage:
    """Read the pedigree file, and the founder kinships if there are any.

    Raises
    ------
    FileRefused
        With the rows and what to do about them.
    """
    default = inheritance(question.ploidy, question.double_reduction)
    file = read_pedigree(question.pedigree, default, two_parents=question.two_parents)
    try:
        pedigree = build_pedigree(file.rows, ploidy=question.ploidy, double_reduction=question.double_reduction)
    except PedigreeError as error:
        places = "; ".join(f"{fish} in {file.places(str(fish))}" for fish in error.fish if file.places(str(fish)))
        where = f" ({places})" if places else ""
        raise FileRefused([Reason(file.name, _first_row(file, error), f"{error}{where}")]) from error
    if question.founder_kinship is not None:
        pedigree = with_founder_file(question.founder_kinship, pedigree)
    return Lineage(file, pedigree)


def _first_row(file: PedigreeFile, error: PedigreeError) -> int | None:
    rows = [file.facts[str(fish)].row for fish in error.fish if str(fish) in file.facts]
    return min(rows, default=None)


def answer(question: Question, progress: Progress) -> Answer:
    """Compute everything that is asked of a pedigree file.

    Raises
    ------
    FileRefused, PedigreeError
        With reasons for a person.
    """
    progress("reading")
    lineage = read_lineage(question)
    pedigree = lineage.pedigree
    living = None if question.living is None else read_ids(question.living, pedigree.ids)
    square = None if question.kinship_of is None else pedigree.positions(read_ids(question.kinship_of, pedigree.ids))
    progress("inbreeding")
    of_fish = inbreeding(pedigree)
    progress("mean kinship")
    group = group_kinship(pedigree, living)
    if square is None and len(group.living.fish) <= SQUARE:
        square = group.living.fish
    progress("founders")
    found = contributions(pedigree, living)
    ancestors = effective_ancestors(pedigree, living)
    progress("gene drop")
    kept = allele_retention(pedigree, living, drops=question.drops, seed=question.seed, tick=lambda: progress(None))
    told = Answer(lineage, of_fish, group, found, kept, square, [], {})
    told = replace(told, notes=_notes(told))
    return replace(told, summary=_summary(question, told, ancestors))


def _summary(question: Question, told: Answer, ancestors: float | None) -> dict[str, object]:
    pedigree, group = told.lineage.pedigree, told.group
    file = told.lineage.file
    low, high = wild_origin(pedigree, told.found, {fish: facts.origin for fish, facts in file.facts.items()})
    related = pedigree.founder_kinship
    return {
        "fish": len(pedigree),
        "founders": len(told.found.founders),
        "unknown_parents": len(told.found.child),
        "only_as_parents": list(pedigree.ids[pedigree.own_rows :]),
        "living": len(group.living.fish),
        "mean_kinship": group.coancestry,
        "mean_kinship_without_self": group.coancestry_without_self,
        "gene_diversity": 1 - group.coancestry,
        "founder_genome_equivalents": founder_genome_equivalents(pedigree, group),
        "founder_equivalents": founder_equivalents(told.found),
        "effective_ancestors": ancestors,
        "mean_inbreeding": float(told.inbreeding.mean()),
        "mean_inbreeding_of_living": float(told.inbreeding[group.living.fish].mean()),
        "wild_origin": {"low": low, "high": high},
        "drops": question.drops,
        "seed": question.seed,
        "retention_is_exact": told.kept.drops == 0,
        "largest_standard_error": told.kept.largest_error,
        "ploidy": question.ploidy,
        "double_reduction": question.double_reduction,
        "largest_change_of_founder_kinship": None if related is None else related.largest_change,
        "ignored_columns": file.ignored,
        "notes": told.notes,
    }


def _notes(told: Answer) -> list[str]:
    pedigree = told.lineage.pedigree
    notes = []
    if told.square is None:
        notes.append(
            f"kinship.csv is left out: {len(told.group.living.fish)} living fish are more than {SQUARE}. Name those "
            "wanted with --kinship-of."
        )
    if len(told.found.child):
        notes.append(f"Unknown parents ({len(told.found.child)}) are treated as unrelated founders of their own.")
    related = pedigree.founder_kinship
    if related is not None and related.largest_change:
        notes.append(
            "No population can have the founders' kinship as given. The nearest possible was taken; the value that "
            f"differs most changed by {related.largest_change:.4f}."
        )
    families = pedigree.families
    selfed = np.flatnonzero((families.dam == families.sire) & (families.dam < len(pedigree)))
    if len(selfed):
        fish = pedigree.ids[int(families.dam[selfed[0]])]
        notes.append(f"{fish} is dam and sire of the same fish, which is computed as selfing. Check that it is meant.")
    both = np.setdiff1d(np.intersect1d(families.dam, families.sire), [len(pedigree), *families.dam[selfed]])
    if len(both):
        names = ", ".join(str(pedigree.ids[fish]) for fish in both[:5].tolist())
        notes.append(f"Dam of some fish and sire of others: {names}{' …' if len(both) > 5 else ''}. Check these rows.")
    return notes


def write_answer(told: Answer, path: Path, progress: Progress) -> None:
    """Write all tables and the summary into a folder: all of them or none.

    Raises
    ------
    PedigreeError
        The kinship square would not fit on the disk.
    """
    pedigree, group = told.lineage.pedigree, told.group
    ids = pedigree.ids
    living = [ids[fish] for fish in group.living.fish.tolist()]
    with Folder(path) as folder:
        _refuse_large_square(told.square, path)
        progress("writing")
        folder.table("inbreeding.csv", ("id", "inbreeding"), zip(ids, told.inbreeding.tolist(), strict=True))
        folder.table("mean_kinship.csv", ("id", "mean_kinship"), zip(living, group.mean_kinship.tolist(), strict=True))
        folder.table("founders.csv", ("id", "contribution", "retention"), _founder_rows(told))
        if told.square is not None:
            names = [ids[fish] for fish in told.square.tolist()]
            folder.table("kinship.csv", ("", *names), _square_rows(pedigree, told.square, progress))
        folder.summary(told.summary)
    if told.square is None:
        (path / "kinship.csv").unlink(missing_ok=True)  # of an earlier run: it would contradict this summary


def _founder_rows(told: Answer) -> Iterator[tuple[object, float, float]]:
    ids, found, kept = told.lineage.pedigree.ids, told.found, told.kept
    names = [ids[fish] for fish in found.founders.tolist()]
    yield from zip(names, found.of_founders.tolist(), kept.of_founders.tolist(), strict=True)
    unknown = [
        unknown_name(ids[fish], side) for fish, side in zip(found.child.tolist(), found.side.tolist(), strict=True)
    ]
    yield from zip(unknown, found.of_unknown.tolist(), kept.of_unknown.tolist(), strict=True)


def _square_rows(pedigree: Pedigree, fish: np.ndarray, progress: Progress) -> Iterator[list[object]]:
    kinship, genes = breeder_kinship(pedigree), genes_of(pedigree, fish)
    alone = self_kinship_of_positions(pedigree, fish)
    for start in range(0, len(fish), ROWS_AT_ONCE):
        progress(None)
        part = kinship.among(genes, genes[start : start + ROWS_AT_ONCE]).T
        for at, row in enumerate(part, start=start):
            row[at] = alone[at]
            yield [pedigree.ids[int(fish[at])], *row.tolist()]


def _refuse_large_square(fish: np.ndarray | None, path: Path) -> None:
    if fish is None:
        return
    needed, free = BYTES_A_NUMBER * len(fish) ** 2, shutil.disk_usage(path).free
    if needed > free:
        raise PedigreeError(
            f"Kinship of {len(fish)} fish would take about {needed / 2**30:.1f} GiB; {free / 2**30:.1f} GiB are free. "
            "Name fewer fish."
        )
