"""Plans by their uses alone, where pairs have no price: uses pass from fish to fish, who meets whom comes later.

Shaken again and again and settled each time (iterated local search: Lourenço, Martin and Stützle 2003).
"""

from dataclasses import dataclass

import numpy as np

from breeding.planning.objective import Objective
from breeding.planning.problem import Floats, Problem, Truths, Whole
from breeding.planning.search.draft import MOVE_TIE, Draft

# Far more than any way down has.
MOST_STEPS = 2_000
# So many uses pass on at random, from the least up to just below the most, before the way down begins anew.
SHAKEN = 3, 12


@dataclass(slots=True, eq=False)
class Uses:
    """Uses in the making; changed in place.

    Attributes
    ----------
    uses, gradient : (fish,), uses without those of fixed pairs, and the slope of J there.
    value : J at these uses, up to a constant.
    """

    problem: Problem
    objective: Objective
    uses: Whole
    gradient: Floats
    value: float

    def pass_on(self, giving: int, taking: int, change: float) -> None:
        """Let a fish take over a step of uses of another of its sex; `change` of J is known."""
        step, quadratic = int(self.problem.mates[giving]), self.objective.quadratic
        self.uses[giving] -= step
        self.uses[taking] += step
        self.gradient += (2 * step) * (quadratic[taking] - quadratic[giving])
        self.value += change

    def copy(self) -> "Uses":
        """Uses of their own."""
        return Uses(self.problem, self.objective, self.uses.copy(), self.gradient.copy(), self.value)


def uses_in(draft: Draft) -> Uses:
    """The uses of a complete plan."""
    objective, uses = draft.objective, draft.uses.copy()
    product = objective.quadratic @ uses
    value = float(uses @ (objective.linear + product))
    return Uses(draft.problem, objective, uses, objective.linear + 2 * product, value)


def settle(state: Uses) -> None:
    """Let uses pass on as long as that is better, the best step first."""
    for _ in range(MOST_STEPS):
        steps = [step for part in state.problem.sides for step in _best_step(state, part)]
        if not steps or min(steps)[0] >= -MOVE_TIE:
            return
        change, giving, taking = min(steps)
        state.pass_on(giving, taking, change)


def shaken(state: Uses, random: np.random.Generator) -> Uses:
    """Other uses near these: some pass on at random, then they settle."""
    trial = state.copy()
    for _ in range(int(random.integers(*SHAKEN))):
        giving, taking, change = _changes(trial, trial.problem.sides[int(random.integers(2))])
        possible = np.flatnonzero(np.isfinite(change))
        if len(possible):
            row, column = divmod(int(random.choice(possible)), len(taking))
            trial.pass_on(int(giving[row]), int(taking[column]), float(change[row, column]))
    settle(trial)
    return trial


def _best_step(state: Uses, part: slice) -> list[tuple[float, int, int]]:
    """The step within a sex that lowers J most, as (change, giving, taking); none where no fish can take a use over."""
    giving, taking, change = _changes(state, part)
    if not change.size:
        return []
    row, column = divmod(int(change.argmin()), len(taking))
    return [(float(change[row, column]), int(giving[row]), int(taking[column]))]


def _changes(state: Uses, part: slice) -> tuple[Whole, Whole, Floats]:
    """Fish of a sex that can give a step of uses, fish that can take it, and by how much J changes, (giving, taking).

    A step is one use, under a scheme all mates of a fish. Infinite where too few different fish would be left.
    """
    problem, gradient, quadratic = state.problem, state.gradient, state.objective.quadratic
    step, uses = int(problem.mates[part][0]), state.uses[part]
    giving: Whole = np.flatnonzero(uses - step >= problem.needed[part]) + part.start
    taking: Whole = np.flatnonzero(uses + step <= problem.room[part]) + part.start
    own = step * np.diagonal(quadratic)
    change = (gradient[taking] + own[taking]) - (gradient[giving] - own[giving])[:, None]
    change -= (2 * step) * quadratic[giving[:, None], taking]
    change *= step
    change[_too_few(state, part, giving, taking)] = np.inf
    return giving, taking, change


def _too_few(state: Uses, part: slice, giving: Whole, taking: Whole) -> Truths:
    """Which steps would leave fewer different fish than must be used, (giving, taking)."""
    problem = state.problem
    used = problem.fresh & (state.uses > 0)
    wanted = problem.new_fish[0 if part.start == 0 else 1]
    if not wanted or int(used[part].sum()) > wanted:
        return np.zeros((len(giving), len(taking)), dtype=bool)
    leaves = used[giving] & (state.uses[giving] == problem.mates[giving])
    comes = problem.fresh[taking] & (state.uses[taking] == 0)
    return leaves[:, None] & ~comes
