"""The fewest single exceptions from the limits that make a plan possible: pairs opened, uses beyond a limit, musts
that are not met.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np
from scipy import sparse

from breeding.planning.feasible import FEWEST
from breeding.planning.flow import NEW_FISH, USES, Program, program_of, with_all_limits
from breeding.planning.problem import SCHEME, Floats, Problem, Whole, uses_of

SECONDS = 10.0


@dataclass(frozen=True, eq=False)
class Exceptions:
    """What would have to be allowed.

    Attributes
    ----------
    pairs, limits : pairs (dam, sire) to be opened, and the limits that rule each of them out.
    over : (fish,), by name of a limit on uses, by how much it would be passed; only limits that are.
    unmet : (fish,), uses that a fish must have and would not.
    fewer : by how many the dams and the sires used would fall short of their least number.
    """

    pairs: tuple[tuple[int, int], ...]
    limits: tuple[frozenset[str], ...]
    over: Mapping[str, Whole]
    unmet: Whole
    fewer: tuple[int, int]


def fewest_exceptions(problem: Problem, *, pairs_of: Collection[str], uses: bool = False) -> Exceptions | None:
    """The fewest exceptions; None if even with them there is no plan, or none was found in time.

    Parameters
    ----------
    pairs_of
        Limits on pairs that may be opened pair by pair.
    uses
        Whether limits on uses may be passed, and musts be left unmet. The scheme is always kept.
    """
    pairs, cost = _pairs_with_cost(problem, pairs_of)
    loose = problem.capacity if not uses else _scheme_alone(problem).capacity
    most = np.minimum(loose, problem.free)
    # Fish that a limit leaves no mates have none in `needed`, which would be out of reach.
    program = program_of(problem, pairs, cost, (problem.needed, most))
    if uses:
        _let_pass(program, problem, most)
    program = with_all_limits(problem, program)
    if uses and NEW_FISH in program.low:
        program.add(np.ones(len(FEWEST)), np.inf, {NEW_FISH: sparse.csr_array(sparse.eye_array(len(FEWEST)))})
    found = program.solved(SECONDS)
    if found is None:
        return None
    chosen = [(int(dam), int(sire)) for dam, sire in pairs[found[0] > 0.5]]
    return _read(problem, chosen)


def _scheme_alone(problem: Problem) -> Problem:
    return replace(problem, most={})


def _pairs_with_cost(problem: Problem, pairs_of: Collection[str]) -> tuple[Whole, Floats]:
    """Pairs that are allowed or may be opened, (pairs, 2), each with the number of limits that rule it out."""
    broken = np.zeros(problem.allowed.shape)
    for name, ruled_out in problem.ruled_out.items():
        broken += np.where(ruled_out, 1.0 if name in pairs_of else np.inf, 0.0)
    for pair in problem.fixed:
        broken[pair] = np.inf
    pairs = np.argwhere(np.isfinite(broken))
    return pairs, broken[pairs[:, 0], pairs[:, 1]]


def _let_pass(program: Program, problem: Problem, most: Whole) -> None:
    """Columns for uses beyond a limit, and for those that are missing, at a cost of one each."""
    fish = len(problem.fish)
    for name, cap in problem.most.items():
        over = f"over {name}"
        left = np.maximum(cap - problem.fixed_uses, 0)
        program.low[over], program.high[over] = np.full(fish, -np.inf), np.minimum(left, most).astype(float)
        program.entries[0][over] = program.entries[0][USES]
        program.add(np.ones(fish), np.inf, {over: sparse.csr_array(-sparse.eye_array(fish))})
    program.add(np.ones(fish), np.inf, {"short": sparse.csr_array(sparse.eye_array(fish))})
    program.low["short"], program.high["short"] = program.low[USES], np.full(fish, np.inf)
    program.entries[0]["short"] = program.entries[0][USES]
    program.low[USES] = np.zeros(fish)


def _read(problem: Problem, chosen: list[tuple[int, int]]) -> Exceptions:
    """What a plan of these pairs and the fixed ones takes exception to."""
    total = uses_of(problem, [*problem.fixed, *chosen])
    opened = [(pair, frozenset(name for name, out in problem.ruled_out.items() if out[pair])) for pair in chosen]
    opened = [(pair, limits) for pair, limits in opened if limits]
    over = {name: np.maximum(total - most, 0) for name, most in problem.caps.items() if name != SCHEME}
    least = np.zeros_like(total) if problem.least is None else problem.least
    used = [int((total[part] > 0).sum()) for part in problem.sides]
    dams, sires = (
        max(0, wanted - count) for wanted, count in zip((problem.fewest_dams, problem.fewest_sires), used, strict=True)
    )
    return Exceptions(
        tuple(pair for pair, _ in opened),
        tuple(limits for _, limits in opened),
        {name: beyond for name, beyond in over.items() if beyond.any()},
        np.maximum(least - total, 0),
        (dams, sires),
    )
