"""A problem without one of its limits."""

from dataclasses import replace

from breeding.planning.feasible import FEWEST_DAMS, FEWEST_SIRES, LEAST_USES
from breeding.planning.problem import SCHEME, Problem


def limits_of(problem: Problem) -> list[str]:
    """The limits of a problem by name, those that limit nothing left out."""
    by_number = {
        LEAST_USES: problem.least is not None,
        SCHEME: problem.scheme is not None,
        FEWEST_DAMS: problem.fewest_dams > 0,
        FEWEST_SIRES: problem.fewest_sires > 0,
    }
    held = [name for name, holds in by_number.items() if holds]
    return [*problem.most, *problem.ruled_out, *held, *problem.in_all]


def without(problem: Problem, limit: str) -> Problem:
    """The same problem with one limit lifted."""
    lifted = {
        LEAST_USES: lambda: replace(problem, least=None),
        SCHEME: lambda: replace(problem, scheme=None),
        FEWEST_DAMS: lambda: replace(problem, fewest_dams=0),
        FEWEST_SIRES: lambda: replace(problem, fewest_sires=0),
    }.get(limit)
    if lifted is not None:
        return lifted()
    return replace(
        problem,
        most={name: most for name, most in problem.most.items() if name != limit},
        ruled_out={name: pairs for name, pairs in problem.ruled_out.items() if name != limit},
        in_all={name: most for name, most in problem.in_all.items() if name != limit},
    )
