"""What a person waits for: figures after a change by hand, a search from there, what blocks, the second best."""

import time
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from breeding.planning.advice.beside import Optimum, figures_beside
from breeding.planning.advice.standing import standings
from breeding.planning.advice.ways_out import ways_out
from breeding.planning.best_sizes import best_sizes
from breeding.planning.feasible import InfeasibleError, check_feasible
from breeding.planning.plan import Effort, best_plan
from breeding.planning.problem import Problem, Scheme
from breeding.planning.second_best import replacements

SCHEMES = {"single pair": (1, 1), "nested, 3 sires": (3, 1), "partial factorial, 2": (2, 2)}


def seconds(work: Callable[[], object], times: int = 3) -> float:
    """The best of a few runs."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def at_work(problem: Problem) -> Iterator[str]:
    """Lines of figures for one hatchery."""
    plan = best_plan(problem, Effort(3.0))
    optimum = Optimum(plan.figures.objective, plan.figures.group_coancestry, plan.lower_bound)
    changed = plan.pairs[1:]
    fresh = seconds(lambda: figures_beside(replace(problem), changed, optimum))
    yield f"figures beside the best, a cross dropped {1000 * fresh:.1f} ms (aim 100 ms at 40 × 60)"
    yield f"best family sizes {1000 * seconds(lambda: best_sizes(problem, plan.pairs)):.0f} ms"
    yield f"standing of every cross {1000 * seconds(lambda: standings(problem, plan.pairs)):.0f} ms"
    yield f"second best for every fish {seconds(lambda: replacements(plan), 1):.2f} s"
    forbidden = np.zeros(problem.between.shape, dtype=bool)
    forbidden[plan.pairs[0]] = True
    without = replace(problem, ruled_out={**problem.ruled_out, "a pair": forbidden})
    again = best_plan(without, Effort(1.0), near=plan.pairs)
    yield f"a pair forbidden, looked for again from the plan at hand: gap {again.gap:.3%} after {again.seconds:.2f} s"
    yield from _blocked(problem)
    yield from _schemes(problem)


def _blocked(problem: Problem) -> Iterator[str]:
    dams = len(problem.dams)
    problem = replace(problem, most={"max_crosses": np.full(len(problem.fish), 1)}, crosses=dams + 1)
    named = seconds(lambda: _check(problem))
    ways = seconds(lambda: ways_out(problem), 1)
    yield f"what blocks is named in {1000 * named:.1f} ms (aim 100 ms), ways out with amounts in {ways:.2f} s"


def _check(problem: Problem) -> None:
    try:
        check_feasible(problem)
    except InfeasibleError:
        return


def _schemes(problem: Problem) -> Iterator[str]:
    for name, (of_dam, of_sire) in SCHEMES.items():
        whole = of_dam * of_sire
        crosses = min(len(problem.dams) * of_dam, len(problem.sires) * of_sire, problem.crosses) // whole * whole
        asked = replace(problem, scheme=Scheme(of_dam, of_sire), crosses=crosses, most={})
        plan = best_plan(asked, Effort(3.0))
        yield f"{name}, {crosses} crosses: gap {plan.gap:.3%} after {plan.seconds:.2f} s"
