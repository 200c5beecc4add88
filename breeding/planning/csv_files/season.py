"""A season's question as plain files: pedigree, candidates, limits."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from breeding.genetics.csv_files.lineage import Lineage, Question, read_lineage
from breeding.genetics.csv_files.reading import FileRefused, Reason, read_ids
from breeding.genetics.diversity import group_kinship, kinship_with_group
from breeding.genetics.kinship import kinship_among
from breeding.planning.csv_files.candidates import Listed, read_candidates, refuse_both
from breeding.planning.csv_files.sheets import read_short_sheet
from breeding.planning.limits import KINSHIP_TOLERANCE
from breeding.planning.problem import NO_LIMIT, LivingShare, Problem, Truths, Whole


@dataclass(frozen=True)
class Season:
    """What to plan: files, limits and genetic assumptions. None is no limit."""

    pedigree: Path
    females: Path
    males: Path
    families: int
    max_kinship: float | None = None
    forbid: Path | None = None
    max_per_dam: int | None = None
    max_per_sire: int | None = None
    with_living: Path | None = None
    weight_of_young: float | None = None
    inbreeding_price: float = 0.0
    founder_kinship: Path | None = None
    ploidy: int = 2
    double_reduction: float = 0.0
    two_parents: bool = False


@dataclass(frozen=True, eq=False)
class Asked:
    """A question that was read: the pedigree, the problem, and what the person should know of the files."""

    season: Season
    lineage: Lineage
    problem: Problem
    notes: list[str]


def read_season(season: Season) -> Asked:
    """Read the files of a season.

    Raises
    ------
    FileRefused, PedigreeError
        With reasons for a person.
    """
    lineage = read_lineage(
        Question(
            season.pedigree,
            founder_kinship=season.founder_kinship,
            ploidy=season.ploidy,
            double_reduction=season.double_reduction,
            two_parents=season.two_parents,
        )
    )
    females = read_candidates(season.females, lineage, "F")
    males = read_candidates(season.males, lineage, "M")
    refuse_both(season.males, males, season.females, females)
    dams, sires = tuple(sorted(females)), tuple(sorted(males))
    kinship = kinship_among(lineage.pedigree, dams + sires)
    ruled_out = {}
    if season.max_kinship is not None:
        between = kinship[: len(dams), len(dams) :]
        ruled_out["max_kinship"] = between > season.max_kinship + KINSHIP_TOLERANCE
    if season.forbid is not None:
        ruled_out["forbid"] = _forbidden(season.forbid, lineage, (dams, sires))
    problem = Problem(
        dams,
        sires,
        kinship,
        season.families,
        most=_most(season, females, males),
        ruled_out=ruled_out,
        living=_living(season, lineage, dams + sires),
        price=season.inbreeding_price,
    )
    return Asked(season, lineage, problem, _notes(lineage, problem))


def _most(season: Season, females: dict[str, Listed], males: dict[str, Listed]) -> dict[str, Whole]:
    listed = [females[name].most for name in sorted(females)] + [males[name].most for name in sorted(males)]
    most = {"max_crosses": np.array([NO_LIMIT if one is None else min(one, NO_LIMIT) for one in listed])}
    is_dam = np.arange(len(listed)) < len(females)
    if season.max_per_dam is not None:
        most["max_per_dam"] = np.where(is_dam, season.max_per_dam, NO_LIMIT)
    if season.max_per_sire is not None:
        most["max_per_sire"] = np.where(is_dam, NO_LIMIT, season.max_per_sire)
    return most


def _forbidden(path: Path, lineage: Lineage, candidates: tuple[tuple[str, ...], tuple[str, ...]]) -> Truths:
    """Pairs that may not be made, (dams, sires); pairs of fish that are no candidates are forbidden anyway."""
    dams, sires = ({name: place for place, name in enumerate(names)} for names in candidates)
    known = {str(name) for name in lineage.pedigree.ids}
    forbidden = np.zeros((len(dams), len(sires)), dtype=bool)
    reasons = []
    for row, (dam, sire) in read_short_sheet(path, ("dam", "sire")).rows:
        unknown = [name for name in (dam, sire) if name not in known]
        if unknown:
            reasons.append(
                Reason(path.name, row, f"{' and '.join(unknown)} is not in the pedigree. Check the spelling.")
            )
        elif dam in sires or sire in dams:
            reasons.append(
                Reason(path.name, row, f"{dam} × {sire} names a male as dam or a female as sire. Turn them round.")
            )
        elif dam in dams and sire in sires:
            forbidden[dams[dam], sires[sire]] = True
    if reasons:
        raise FileRefused(reasons)
    return forbidden


def _living(season: Season, lineage: Lineage, fish: tuple[str, ...]) -> LivingShare | None:
    if season.with_living is None or season.weight_of_young is None:
        return None
    pedigree = lineage.pedigree
    group = group_kinship(pedigree, read_ids(season.with_living, pedigree.ids))
    with_living = kinship_with_group(pedigree, group, pedigree.positions(fish))
    return LivingShare(group.coancestry, with_living, season.weight_of_young)


def _notes(lineage: Lineage, problem: Problem) -> list[str]:
    pedigree, families = lineage.pedigree, lineage.pedigree.families
    notes = []
    for names, parents, word in ((problem.dams, families.sire, "sire"), (problem.sires, families.dam, "dam")):
        other = np.intersect1d(pedigree.positions(names), parents)
        if len(other):
            shown = ", ".join(str(pedigree.ids[fish]) for fish in other[:5].tolist())
            sex = "males" if word == "dam" else "females"
            notes.append(
                f"Among the {sex}, but {word} of other fish in the pedigree: {shown}{' …' if len(other) > 5 else ''}. "
                "Check these fish."
            )
    if len(np.unique(pedigree.ploidy[pedigree.positions(problem.fish)])) > 1:
        notes.append("The candidates differ in ploidy; their kinships mean different degrees of relationship.")
    if lineage.file.ignored:
        notes.append(f"Columns left aside: {', '.join(lineage.file.ignored)}.")
    return notes
