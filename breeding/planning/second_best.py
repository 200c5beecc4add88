"""If a fish drops out tonight: the crosses that then take the place of its own, worked out beforehand."""

from dataclasses import dataclass, replace

import numpy as np

from breeding.planning.feasible import Blocking, InfeasibleError, check_feasible
from breeding.planning.objective import Figures, figures_of, objective_of
from breeding.planning.plan import Pair, Plan
from breeding.planning.problem import NO_LIMIT, Problem
from breeding.planning.search.descent import replace_one
from breeding.planning.search.draft import Draft, new_draft
from breeding.planning.search.fill import fill

DROPPED_OUT = "dropped_out"
ROUNDS = 5


@dataclass(frozen=True)
class Replacement:
    """What becomes of a plan without one of its fish.

    Attributes
    ----------
    lost, added : crosses that fall away, and those that take their place, as positions (dam, sire). Where a lost cross
        cannot be replaced otherwise, a further one changes mates and stands in both.
    figures : of the plan as changed; None if it cannot be complete.
    blocking : what then stands in the way.
    """

    fish: str
    lost: tuple[Pair, ...]
    added: tuple[Pair, ...]
    figures: Figures | None
    blocking: tuple[Blocking, ...] = ()


def replacements(plan: Plan) -> dict[str, Replacement]:
    """For each fish of a plan that has crosses still to be made, the best way to do without it; the rest stays.

    How many different fish are used, and a scheme beyond its limit on uses, may then have to give way.
    """
    problem = plan.problem
    free = [pair for pair in plan.pairs if pair not in set(problem.fixed)]
    dams = len(problem.dams)
    used = sorted({dam for dam, _ in free} | {dams + sire for _, sire in free})
    # Tonight the scheme is kept as far as it limits the uses: a fish that drops out leaves others without all mates.
    tonight = replace(problem, most=problem.caps, scheme=None, fewest_dams=0, fewest_sires=0)
    draft = new_draft(tonight, objective_of(tonight), free)
    return {problem.fish[fish]: _without(draft, fish) for fish in used}


def _without(whole: Draft, fish: int) -> Replacement:
    problem, dams = whole.problem, len(whole.problem.dams)
    lost = [pair for pair in whole.pairs if fish in (pair[0], dams + pair[1])]
    kept = set(whole.pairs) - set(lost)
    draft = whole.copy()
    for pair in lost:
        draft.take(*pair)
    draft.problem = _smaller(problem, fish)
    try:
        _complete(draft)
    except InfeasibleError as error:
        return Replacement(problem.fish[fish], tuple(sorted(lost)), (), None, tuple(error.blocking))
    # Only the new crosses are looked at again: the others may be under way.
    for _ in range(ROUNDS):
        replaced = [replace_one(draft, pair) for pair in sorted(set(draft.pairs) - kept)]
        if not any(replaced):
            break
    fallen = tuple(sorted([*lost, *(kept - set(draft.pairs))]))
    added = tuple(sorted(set(draft.pairs) - kept))
    return Replacement(problem.fish[fish], fallen, added, figures_of(problem, [*problem.fixed, *draft.pairs]))


def _smaller(problem: Problem, fish: int) -> Problem:
    """The problem with a fish that is used for what is made already and no more."""
    left = np.full(len(problem.fish), NO_LIMIT)
    left[fish] = problem.fixed_uses[fish]
    least = problem.least if problem.least is None else np.minimum(problem.least, left)
    return replace(problem, most={**problem.most, DROPPED_OUT: left}, least=least)


def _complete(draft: Draft) -> None:
    """Fill the places left; refused, with what is in the way, where that cannot be done."""
    if draft.problem.needed.any():
        check_feasible(draft.problem)
    # That some way of filling is missed proves that there is none: only then the limits in the way are looked for.
    if not fill(draft):
        check_feasible(draft.problem)
