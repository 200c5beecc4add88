"""A plan, or what stands in its way, as plain files."""

from pathlib import Path

from breeding.genetics.csv_files.writing import Folder
from breeding.planning.advice.held import binding_of
from breeding.planning.advice.young import young_of
from breeding.planning.csv_files.season import Asked
from breeding.planning.feasible import InfeasibleError
from breeding.planning.limits import KINSHIP_TOLERANCE
from breeding.planning.plan import Plan

CAUTION = (
    "Best by expected kinship from this pedigree, for large families of one size; it says nothing of fertility, health "
    "or behaviour."
)


def summary_of(asked: Asked, plan: Plan) -> dict[str, object]:
    """The figures of a plan by name."""
    problem, figures, pedigree = plan.problem, plan.figures, asked.lineage.pedigree
    young = young_of(problem, plan.pairs, pedigree, pedigree.positions(problem.fish))
    return {
        "feasible": True,
        "families": problem.crosses,
        "dams_used": len({dam for dam, _ in plan.pairs}),
        "sires_used": len({sire for _, sire in plan.pairs}),
        "objective": figures.objective,
        "group_coancestry": figures.group_coancestry,
        "gene_diversity": 1 - figures.group_coancestry,
        "lower_bound": plan.lower_bound,
        "gap": plan.gap,
        "proven_optimal": plan.proven,
        "mean_pair_kinship": figures.mean_pair_kinship,
        "mean_offspring_inbreeding": float(young.inbreeding.mean()),
        "binding_limits": _binding(asked, plan),
        "seconds": plan.seconds,
        "cut_short": plan.cut_short,
        "notes": [*asked.notes, CAUTION],
    }


def _binding(asked: Asked, plan: Plan) -> list[dict[str, object]]:
    problem, limit = plan.problem, asked.season.max_kinship
    uses: list[dict[str, object]] = [
        {"limit": one.limit, "id": one.fish, "value": one.value} for one in binding_of(problem, plan.pairs)
    ]
    pairs: list[dict[str, object]] = [
        {"limit": "max_kinship", "id": f"{problem.dams[dam]} × {problem.sires[sire]}", "value": limit}
        for dam, sire in plan.pairs
        if limit is not None and abs(problem.between[dam, sire] - limit) <= KINSHIP_TOLERANCE
    ]
    return uses + pairs


def write_plan(asked: Asked, plan: Plan, folder: Path) -> None:
    """Write crosses.csv and summary.json: both or neither."""
    problem = plan.problem
    rows = [(problem.dams[dam], problem.sires[sire], float(problem.between[dam, sire])) for dam, sire in plan.pairs]
    with Folder(folder) as out:
        out.table("crosses.csv", ("dam", "sire", "kinship"), rows)
        out.summary(summary_of(asked, plan))


def blocking_of(error: InfeasibleError) -> dict[str, object]:
    """What stands in the way of a plan."""
    return {
        "feasible": False,
        "wanted": error.wanted,
        "possible": error.possible,
        "blocking": [{"limit": one.limit, "fish": one.fish} for one in error.blocking],
    }


def write_blocking(error: InfeasibleError, folder: Path) -> None:
    """Write what stands in the way as summary.json; a plan of an earlier run would contradict it and is removed."""
    with Folder(folder) as out:
        out.summary(blocking_of(error))
    (folder / "crosses.csv").unlink(missing_ok=True)
