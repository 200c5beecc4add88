"""Which limits a plan meets with equality, and which it breaks."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from breeding.planning.feasible import FEWEST, LEAST_USES
from breeding.planning.problem import NO_LIMIT, SCHEME, Problem, uses_of

Pair = tuple[int, int]

CROSSES, FIXED = "crosses", "fixed"


@dataclass(frozen=True)
class Binding:
    """A limit that a plan meets with equality, the fish it concerns (none: the whole plan), and its value."""

    limit: str
    fish: str
    value: int


@dataclass(frozen=True)
class Broken:
    """A limit that a set of crosses does not keep.

    Attributes
    ----------
    fish : the one concerned, dam and sire where it is a pair, none where it is the whole plan.
    found, allowed : how many there are and how many there may be, at most or at least as the limit has it; for a pair
        that may not be made 1 and 0.
    """

    limit: str
    fish: tuple[str, ...]
    found: int
    allowed: int


def binding_of(problem: Problem, pairs: Sequence[Pair]) -> list[Binding]:
    """The limits on numbers that a plan meets with equality; the scheme, which is always met, is left out."""
    uses = uses_of(problem, pairs)
    met = [
        Binding(name, problem.fish[fish], int(most[fish]))
        for name, most in problem.most.items()
        for fish in np.flatnonzero((most == uses) & (most < NO_LIMIT)).tolist()
    ]
    met += [Binding(name, "", most) for name, most in problem.in_all.items() if most == len(pairs)]
    wanted = (problem.fewest_dams, problem.fewest_sires)
    for name, part, least in zip(FEWEST, problem.sides, wanted, strict=True):
        if least and int((uses[part] > 0).sum()) == least:
            met.append(Binding(name, "", least))
    return met


def broken_by(problem: Problem, pairs: Sequence[Pair]) -> list[Broken]:
    """All limits that a set of crosses does not keep; empty if it is a plan of the problem."""
    return [*_of_the_whole(problem, pairs), *_of_fish(problem, pairs), *_of_pairs(problem, pairs)]


def _of_the_whole(problem: Problem, pairs: Sequence[Pair]) -> Iterator[Broken]:
    uses, count = uses_of(problem, pairs), len(pairs)
    if count != problem.crosses:
        yield Broken(CROSSES, (), count, problem.crosses)
    for name, most in problem.in_all.items():
        if count > most:
            yield Broken(name, (), count, most)
    wanted = (problem.fewest_dams, problem.fewest_sires)
    for name, part, least in zip(FEWEST, problem.sides, wanted, strict=True):
        used = int((uses[part] > 0).sum())
        if used < least:
            yield Broken(name, (), used, least)


def _of_fish(problem: Problem, pairs: Sequence[Pair]) -> Iterator[Broken]:
    uses = uses_of(problem, pairs)
    for name, most in problem.most.items():
        for fish in np.flatnonzero(uses > most).tolist():
            yield Broken(name, (problem.fish[fish],), int(uses[fish]), int(most[fish]))
    if problem.scheme is not None:
        for fish in np.flatnonzero((uses > 0) & (uses != problem.mates)).tolist():
            yield Broken(SCHEME, (problem.fish[fish],), int(uses[fish]), int(problem.mates[fish]))
    if problem.least is not None:
        for fish in np.flatnonzero(uses < problem.least).tolist():
            yield Broken(LEAST_USES, (problem.fish[fish],), int(uses[fish]), int(problem.least[fish]))


def _of_pairs(problem: Problem, pairs: Sequence[Pair]) -> Iterator[Broken]:
    made = set(pairs)
    for dam, sire in sorted(set(problem.fixed) - made):
        yield Broken(FIXED, (problem.dams[dam], problem.sires[sire]), 0, 1)
    for name, ruled_out in problem.ruled_out.items():
        for dam, sire in sorted(made - set(problem.fixed)):
            if ruled_out[dam, sire]:
                yield Broken(name, (problem.dams[dam], problem.sires[sire]), 1, 0)
