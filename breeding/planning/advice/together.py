"""Relaxations of several limits where none is enough by itself."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from breeding.planning.advice.exceptions import Exceptions, fewest_exceptions
from breeding.planning.advice.relaxation import FEWER_FISH, FEWER_MUSTS, LIFTED, PAIRS, ROOM, USES, Relaxation, WayOut
from breeding.planning.feasible import FEWEST, LEAST_USES
from breeding.planning.problem import SCHEME, Problem


def together(problem: Problem) -> WayOut | None:
    """The fewest exceptions of all limits at once; under a scheme, without it if need be. None if none were found."""
    parts = [
        Relaxation(name, ROOM, problem.crosses - most, problem.crosses)
        for name, most in problem.in_all.items()
        if most < problem.crosses
    ]
    problem = replace(problem, in_all={})
    found = _exceptions(problem)
    if found is None and problem.scheme is not None:
        parts.append(Relaxation(SCHEME, LIFTED, 1))
        problem = replace(problem, scheme=None)
        found = _exceptions(problem)
    if found is None:
        return None
    parts += [*_of_pairs(problem, found), *_of_uses(problem, found)]
    return WayOut(tuple(parts)) if parts else None


def named_pairs(problem: Problem, found: Exceptions) -> tuple[tuple[str, str], ...]:
    """The pairs to be opened, by the names of their fish."""
    return tuple((problem.dams[dam], problem.sires[sire]) for dam, sire in found.pairs)


def _exceptions(problem: Problem) -> Exceptions | None:
    return fewest_exceptions(problem, pairs_of=set(problem.ruled_out), uses=True)


def _of_pairs(problem: Problem, found: Exceptions) -> Iterator[Relaxation]:
    named = named_pairs(problem, found)
    for name in problem.ruled_out:
        pairs = tuple(pair for pair, limits in zip(named, found.limits, strict=True) if name in limits)
        if pairs:
            yield Relaxation(name, PAIRS, len(pairs), pairs=pairs)


def _of_uses(problem: Problem, found: Exceptions) -> Iterator[Relaxation]:
    for name, over in found.over.items():
        fish = tuple(problem.fish[one] for one in np.flatnonzero(over).tolist())
        yield Relaxation(name, USES, int(over.max()), fish=fish)
    if found.unmet.any():
        fish = tuple(problem.fish[one] for one in np.flatnonzero(found.unmet).tolist())
        yield Relaxation(LEAST_USES, FEWER_MUSTS, int(found.unmet.max()), fish=fish)
    for name, fewer, now in zip(FEWEST, found.fewer, (problem.fewest_dams, problem.fewest_sires), strict=True):
        if fewer:
            yield Relaxation(name, FEWER_FISH, fewer, now - fewer)
