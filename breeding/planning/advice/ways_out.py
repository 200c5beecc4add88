"""Where no plan lies within the limits: the smallest relaxations that would make room for one, as amounts.

First each limit by itself, as little as makes a plan possible: a look at the flow for each step of a bisection. Where
no limit does by itself, the fewest single exceptions of all limits together: an integer program.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from breeding.planning.advice.exceptions import fewest_exceptions
from breeding.planning.advice.further_fish import with_fish
from breeding.planning.advice.lifted import limits_of, without
from breeding.planning.advice.relaxation import (
    CROSSES,
    DAMS,
    FEWER_FISH,
    FEWER_MUSTS,
    FISH,
    LEVEL,
    LIFTED,
    PAIRS,
    ROOM,
    SIRES,
    USES,
    Level,
    Relaxation,
    WayOut,
)
from breeding.planning.advice.together import named_pairs, together
from breeding.planning.feasible import FEWEST, LEAST_USES, InfeasibleError, check_feasible
from breeding.planning.problem import NO_LIMIT, SCHEME, Problem

FURTHER_FISH, FURTHER_CROSSES = 3, 20


def ways_out(problem: Problem, levels: Mapping[str, Level] | None = None) -> list[WayOut]:
    """The smallest relaxations, each a way out by itself; none if there is a plan.

    Parameters
    ----------
    levels
        Of limits on pairs that are figures, by name; other limits on pairs are opened pair by pair.
    """
    try:
        check_feasible(problem)
    except InfeasibleError as error:
        return list(_found(problem, levels or {}, error))
    return []


def _found(problem: Problem, levels: Mapping[str, Level], error: InfeasibleError) -> Iterator[WayOut]:
    alone = [
        one
        for name in limits_of(problem)
        if _feasible(without(problem, name))
        for one in [_of_limit(problem, name, levels, error)]
        if one is not None
    ]
    yield from (WayOut((one,)) for one in alone)
    yield from (WayOut((one,)) for one in [*_of_crosses(problem, error), *_of_fish(problem)])
    if not alone:
        combined = together(problem)
        if combined is not None:
            yield combined


def _feasible(problem: Problem) -> bool:
    try:
        check_feasible(problem)
    except InfeasibleError:
        return False
    return True


def _of_limit(problem: Problem, name: str, levels: Mapping[str, Level], error: InfeasibleError) -> Relaxation | None:
    """The least relaxation of one limit that is enough; the limit as a whole is known to be."""
    named = tuple(one.fish for one in error.blocking if one.limit == name and one.fish)
    if name in problem.in_all:
        return Relaxation(name, ROOM, problem.crosses - problem.in_all[name], problem.crosses)
    if name in problem.most:
        by = _least(lambda more: _feasible(_with_uses(problem, name, more)), problem.crosses)
        return Relaxation(name, USES, by, fish=named)
    if name in FEWEST:
        now = problem.fewest_dams if name == FEWEST[0] else problem.fewest_sires
        fewer = _least(lambda less: _feasible(_with_fewest(problem, name, now - less)), now)
        return Relaxation(name, FEWER_FISH, fewer, now - fewer)
    if name == LEAST_USES and problem.least is not None:
        least = problem.least
        by = _least(lambda less: _feasible(replace(problem, least=np.maximum(least - less, 0))), int(least.max()))
        return Relaxation(name, FEWER_MUSTS, by, fish=named)
    if name == SCHEME:
        return Relaxation(name, LIFTED, 1)
    return _of_pairs(problem, name, levels.get(name))


def _with_uses(problem: Problem, name: str, more: int) -> Problem:
    most = problem.most[name]
    return replace(problem, most={**problem.most, name: np.where(most < NO_LIMIT, most + more, NO_LIMIT)})


def _with_fewest(problem: Problem, name: str, fewest: int) -> Problem:
    return replace(problem, fewest_dams=fewest) if name == FEWEST[0] else replace(problem, fewest_sires=fewest)


def _of_pairs(problem: Problem, name: str, level: Level | None) -> Relaxation | None:
    others = np.zeros_like(problem.allowed)
    for other, pairs in problem.ruled_out.items():
        if other != name:
            others |= pairs
    closed = problem.ruled_out[name] & ~others
    if level is None:
        opened = fewest_exceptions(problem, pairs_of={name})
        return (
            None if opened is None else Relaxation(name, PAIRS, len(opened.pairs), pairs=named_pairs(problem, opened))
        )
    steps = np.unique(level.of_pairs[closed])
    steps = steps[np.append(True, np.diff(steps) > 1e-9)]  # what rounding sets apart is one step

    def up_to(step: int) -> Problem:
        still = problem.ruled_out[name] & (level.of_pairs > steps[step - 1] + 1e-9)
        return replace(problem, ruled_out={**problem.ruled_out, name: still})

    step = _least(lambda count: _feasible(up_to(count)), len(steps))
    reach = float(steps[step - 1])
    at = np.argwhere(closed & (level.of_pairs <= reach + 1e-9)).tolist()
    # Where a pair that reaches the limit is ruled out, the limit must lie just above.
    value = reach if level.reached else float(np.floor(reach * 10_000 + 1 + 1e-6) / 10_000)
    names = tuple((problem.dams[dam], problem.sires[sire]) for dam, sire in at)
    return Relaxation(name, LEVEL, value - level.limit, value, pairs=names)


def _least(enough: Callable[[int], bool], most: int) -> int:
    """The least number from 1 that is enough, by bisection; `most` is known to be."""
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return low


def _of_crosses(problem: Problem, error: InfeasibleError) -> Iterator[Relaxation]:
    """Another number of crosses: the nearest below, and where fish must be used the nearest above."""
    at_least = max(1, len(problem.fixed))
    below = min(problem.crosses - 1, max(error.possible, at_least))
    for crosses in range(below, max(at_least, below - FURTHER_CROSSES) - 1, -1):
        if _feasible(replace(problem, crosses=crosses)):
            yield Relaxation(CROSSES, CROSSES, problem.crosses - crosses, crosses)
            break
    if problem.least is None and not max(problem.fewest_dams, problem.fewest_sires) and problem.scheme is None:
        return
    for crosses in range(problem.crosses + 1, problem.crosses + FURTHER_CROSSES + 1):
        if _feasible(replace(problem, crosses=crosses)):
            yield Relaxation(CROSSES, CROSSES, crosses - problem.crosses, crosses)
            break


def _of_fish(problem: Problem) -> Iterator[Relaxation]:
    """A further female or male or two that any mate may meet, used as often as the others may be."""
    for side in (0, 1):
        for count in range(1, FURTHER_FISH + 1):
            if _feasible(with_fish(problem, side, count)):
                yield Relaxation((DAMS, SIRES)[side], FISH, count)
                break
