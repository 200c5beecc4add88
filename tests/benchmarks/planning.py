"""How good cross plans are, how sure, and how fast, beside simpler ways on the same seeded hatcheries in one run.

    python -m tests.benchmarks.planning [seconds of the textbook program, default 60; 0 leaves it out]

Prints objectives as ratios to ours (1.10 = a tenth worse), gaps and seconds; asserts nothing, since seconds depend on
the machine. The aims stand beside the figures.
"""

import statistics
import sys
import time
from dataclasses import dataclass, replace

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp

from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.feasible import InfeasibleError, check_feasible
from breeding.planning.objective import figures_of
from breeding.planning.plan import Effort, Plan, Progress, best_plan
from breeding.planning.problem import Problem, uses_of

CROSSES_OF_A_FISH = 4
SIZES = {(10, 15): 10, (40, 60): 40, (200, 300): 120}
BASES = {"narrow": 12, "wide": 3}  # candidates for each founder


@dataclass(frozen=True)
class Timed:
    """A plan, and when the first and the first within half a percent were there; None if that never came."""

    plan: Plan
    first: float
    close: float | None


def hatchery(dams: int, sires: int, founders: int, seed: int) -> Problem:
    """An invented hatchery: three generations of families of two on average, parents drawn at random."""
    random = np.random.default_rng(seed)
    rows, parents = [], [f"W{number}" for number in range(founders)]
    for generation in range(3):
        count = dams + sires if generation == 2 else max(founders, (dams + sires) // 2)
        half = len(parents) // 2
        families = [
            (parents[random.integers(half)], parents[half + random.integers(len(parents) - half)])
            for _ in range(max(4, count // 2))
        ]
        young = [f"G{generation}-{number:03d}" for number in range(count)]
        rows += [ParentRow(fish, *families[random.integers(len(families))]) for fish in young]
        parents = [young[at] for at in random.permutation(count)]
    females, males = tuple(sorted(parents[:dams])), tuple(sorted(parents[dams:]))
    kinship = kinship_among(build_pedigree(rows), females + males)
    most = {"max_crosses": np.full(dams + sires, CROSSES_OF_A_FISH)}
    return Problem(females, males, kinship, SIZES[dams, sires], most=most)


def instance(size: tuple[int, int], base: str, seed: int, forbidden: float = 0.0) -> Problem:
    """A hatchery of a size, with a share of the pairs forbidden at random."""
    problem = hatchery(*size, max(6, sum(size) // BASES[base]), seed)
    ruled_out = np.random.default_rng(seed).random(problem.between.shape) < forbidden
    return replace(problem, ruled_out={"forbid": ruled_out})


def timed(problem: Problem, seconds: float) -> Timed:
    """Our plan."""
    start, first, close = time.perf_counter(), [], []

    def progress(at: Progress) -> None:
        now = time.perf_counter() - start
        first.append(now)
        if at.objective - at.lower_bound <= 0.005 * at.objective:
            close.append(now)

    plan = best_plan(problem, Effort(seconds, progress))
    return Timed(plan, first[0], close[0] if close else None)


def by_rank(problem: Problem, rank: np.ndarray) -> list[tuple[int, int]]:
    """The pairs of lowest rank, one after the other, as the limits allow."""
    chosen: list[tuple[int, int]] = []
    for at in np.argsort(rank, axis=None, kind="stable").tolist():
        pair = divmod(at, rank.shape[1])
        uses = uses_of(problem, [*chosen, pair])
        if problem.allowed[pair] and (uses <= problem.capacity).all():
            chosen.append(pair)
        if len(chosen) == problem.crosses:
            break
    return chosen


def least_kinship(problem: Problem) -> list[tuple[int, int]]:
    """The least related pairs first."""
    return by_rank(problem, problem.between)


def least_mean_kinship(problem: Problem) -> list[tuple[int, int]]:
    """The fish of least mean kinship among the candidates first."""
    mean, dams = problem.kinship.mean(axis=1), len(problem.dams)
    return by_rank(problem, mean[:dams, None] + mean[None, dams:])


def at_random(problem: Problem, seed: int) -> list[tuple[int, int]]:
    """Any pairs within the limits."""
    return by_rank(problem, np.random.default_rng(seed).random(problem.between.shape))


def textbook(problem: Problem, seconds: float) -> tuple[float, float]:
    """Objective and bound of the usual linear program: one variable for each product of two choices."""
    rows, columns = np.nonzero(problem.allowed)
    count, dams = len(rows), len(problem.dams)
    members = np.zeros((count, len(problem.fish)))
    members[np.arange(count), rows] = members[np.arange(count), columns + dams] = 1
    cost = members @ problem.kinship @ members.T / (4 * problem.crosses**2)
    one, two = np.triu_indices(count, 1)
    products = np.arange(len(one))
    entries = np.concatenate([np.ones(2 * len(one)), -np.ones(len(one))])
    where = (np.tile(products, 3), np.concatenate([one, two, count + products]))
    both = sparse.csr_array((entries, where), shape=(len(one), count + len(one)))
    uses = sparse.hstack([sparse.csr_array(members.T), sparse.csr_array((len(problem.fish), len(one)))])
    total = sparse.csr_array(np.concatenate([np.ones(count), np.zeros(len(one))])[None])
    found = milp(
        np.concatenate([np.diagonal(cost), 2 * cost[one, two]]) * 1_000,
        integrality=np.concatenate([np.ones(count), np.zeros(len(one))]),
        bounds=Bounds(0, 1),
        constraints=[
            LinearConstraint(both, -np.inf, 1),
            LinearConstraint(uses, -np.inf, problem.capacity),
            LinearConstraint(total, problem.crosses, problem.crosses),
        ],
        options={"time_limit": seconds},
    )
    return (np.inf if found.x is None else found.fun / 1_000), (found.mip_dual_bound or 0.0) / 1_000


def tell(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def ratio(problem: Problem, pairs: list[tuple[int, int]], plan: Plan) -> str:
    """An objective beside ours; a way that runs into the limits before it is done has none."""
    if len(pairs) < problem.crosses:
        return f"only {len(pairs)} of {problem.crosses} crosses"
    return f"{figures_of(problem, pairs).objective / plan.figures.objective:.4f}"


def compare(size: tuple[int, int], base: str, seed: int) -> None:
    """Ours beside the simpler ways."""
    problem = instance(size, base, seed)
    ours = timed(problem, 10.0)
    drawn = [figures_of(problem, at_random(problem, draw)).objective for draw in range(20)]
    tell(
        f"  {base:6} seed {seed}: gap {ours.plan.gap:8.4%} in {ours.plan.seconds:6.2f} s"
        f"   least kinship {ratio(problem, least_kinship(problem), ours.plan)}"
        f"   mean kinship {ratio(problem, least_mean_kinship(problem), ours.plan)}"
        f"   random {statistics.mean(drawn) / ours.plan.figures.objective:.4f}"
    )


def aims(size: tuple[int, int], seconds: float, seeds: int) -> None:
    """The figures that are promised, over seeds, narrow and wide bases and shares of forbidden pairs."""
    for forbidden in (0.0, 0.5, 0.85):
        runs = [timed(instance(size, base, seed, forbidden), seconds) for base in BASES for seed in range(seeds)]
        gaps, taken = [run.plan.gap for run in runs], [run.plan.seconds for run in runs]
        close = [run.close if run.close is not None else np.inf for run in runs]
        tell(
            f"  {forbidden:4.0%} forbidden: proven {sum(run.plan.proven for run in runs)} of {len(runs)}, "
            f"largest gap {max(gaps):.4%}, first plan {max(run.first for run in runs):.3f} s, within 0.5 % after "
            f"{max(close):.3f} s, seconds {statistics.median(taken):.2f} (median) {max(taken):.2f} (most)"
        )


def with_a_price(size: tuple[int, int], seconds: float, seeds: int) -> None:
    runs = [
        timed(replace(instance(size, base, seed), price=price), seconds).plan
        for base in BASES
        for seed in range(seeds)
        for price in (0.05, 0.5)
    ]
    taken = [run.seconds for run in runs]
    tell(
        f"  with a price on inbreeding: largest gap {max(run.gap for run in runs):.4%} (aim 1 %), "
        f"seconds {statistics.median(taken):.2f} (median) {max(taken):.2f} (most)"
    )


def blocked() -> None:
    problem = replace(instance((200, 300), "wide", 1), most={"max_crosses": np.full(500, 1)}, crosses=201)
    start = time.perf_counter()
    try:
        check_feasible(problem)
    except InfeasibleError as error:
        tell(f"  what blocks, 200 × 300: {len(error.blocking)} fish in {time.perf_counter() - start:.3f} s (aim 0.1 s)")


def main() -> None:
    limit = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    tell("10 × 15; aims: always proven, median ≤ 1.5 s, never over 10 s")
    aims((10, 15), 10.0, 5)
    with_a_price((10, 15), 10.0, 2)
    tell("40 × 60; aims: within 0.5 % in ≤ 0.5 s, never worse than 1 %")
    aims((40, 60), 3.0, 2)
    with_a_price((40, 60), 10.0, 1)
    tell("200 × 300; aims: first plan ≤ 0.3 s, within 0.5 % in ≤ 2 s, never worse than 1 %")
    aims((200, 300), 5.0, 1)
    with_a_price((200, 300), 10.0, 1)
    blocked()
    for size in SIZES:
        tell(f"{size[0]} × {size[1]}: objective of other ways by ours")
        for base in BASES:
            compare(size, base, 1)
    if limit:
        problem = instance((10, 15), "narrow", 1)
        start, ours = time.perf_counter(), best_plan(problem).figures.objective
        objective, bound = textbook(problem, limit)
        tell(
            f"textbook program, 10 × 15, {time.perf_counter() - start:.0f} s: objective {objective / ours:.4f} of ours,"
            f" its bound {1 - bound / ours:.1%} below; 40 × 60 would have {2400 * 2399 // 2:,} products"
        )


if __name__ == "__main__":
    main()
