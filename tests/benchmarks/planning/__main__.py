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

from breeding.planning.objective import figures_of
from breeding.planning.plan import Effort, Plan, Progress, best_plan
from breeding.planning.problem import Problem
from tests.benchmarks.planning.at_work import at_work
from tests.benchmarks.planning.demo import demo
from tests.benchmarks.planning.instances import BASES, SIZES, instance
from tests.benchmarks.planning.other_ways import at_random, every_plan, least_kinship, least_mean_kinship, textbook


@dataclass(frozen=True)
class Timed:
    """A plan, and when the first and the first within half a percent were there; None if that never came."""

    plan: Plan
    first: float
    close: float | None


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


def small() -> None:
    """Ours against every plan there is."""
    worst, ours, theirs = 0.0, 0.0, 0.0
    for seed in range(5):
        large = instance((10, 15), "narrow", seed)
        fish = [*range(4), *range(10, 15)]
        problem = replace(
            large,
            dams=large.dams[:4],
            sires=large.sires[:5],
            kinship=large.kinship[np.ix_(fish, fish)],
            crosses=5,
            most={"max_crosses": np.full(9, 2)},
            ruled_out={},
        )
        start = time.perf_counter()
        found = best_plan(problem).figures.objective
        ours, start = ours + time.perf_counter() - start, time.perf_counter()
        worst = max(worst, abs(found - every_plan(problem)))
        theirs += time.perf_counter() - start
    tell(
        f"4 × 5, every plan tried: largest difference {worst:.1e} (aim 0); ours {ours:.2f} s, all plans {theirs:.2f} s"
    )


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
    tell("working with a plan")
    for size in SIZES:
        for line in at_work(instance(size, "wide", 1)):
            tell(f"  {size[0]} × {size[1]}: {line}")
    for size in SIZES:
        tell(f"{size[0]} × {size[1]}: objective of other ways by ours")
        for base in BASES:
            compare(size, base, 1)
    small()
    demo(tell)
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
