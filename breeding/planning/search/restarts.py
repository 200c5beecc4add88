"""Out of a dead end: some crosses are given up at random, the plan is completed and improved again."""

from collections.abc import Callable

import numpy as np

from breeding.planning.feasible import some_pairs
from breeding.planning.objective import TIE, Figures, figures_of, is_better
from breeding.planning.problem import Whole
from breeding.planning.search.descent import descend
from breeding.planning.search.draft import Draft, new_draft
from breeding.planning.search.fill import fill, keeping_needs
from breeding.planning.search.mates import least_related
from breeding.planning.search.uses import settle, uses_in
from breeding.planning.search.uses import shaken as shaken_uses
from breeding.planning.search.whole import become, exchange, exchanged_at_random, lay_out

SEED = 1
# Shakes end here, not by the clock, so that the same question gets the same plan.
SHAKES_WITHOUT_GAIN = 100


def figures(draft: Draft) -> Figures:
    """The figures of a complete draft, with the fixed pairs."""
    return figures_of(draft.problem, [*draft.problem.fixed, *draft.pairs])


def complete(draft: Draft) -> None:
    """Choose pairs until the plan is complete; the problem must be feasible. A scheme begins anew."""
    if draft.problem.scheme is None:
        fill(draft)
    else:
        lay_out(draft)


def improve(draft: Draft) -> None:
    """Improve a complete plan by small steps until none helps."""
    if draft.problem.price == 0:
        _by_uses(draft)
    if draft.problem.scheme is None:
        descend(draft)
    else:
        exchange(draft)


def _by_uses(draft: Draft) -> None:
    """Go down by the uses alone, far faster; if what they lead to has no pairs, the plan stays as it is."""
    state = uses_in(draft)
    settle(state)
    pairs = None if (state.uses == draft.uses).all() else some_pairs(draft.problem, state.uses)
    if pairs is not None:
        become(draft, pairs)


def better_uses(draft: Draft, stop: Callable[[], bool]) -> Draft:
    """A plan at least as good, by shaking the uses; for problems where pairs have no price."""
    random, state, pairs = np.random.default_rng(SEED), uses_in(draft), None
    without_gain = 0
    while without_gain < SHAKES_WITHOUT_GAIN and not stop():
        trial = shaken_uses(state, random)
        without_gain += 1
        if trial.value < state.value - TIE:
            found = some_pairs(draft.problem, trial.uses)
            if found is not None:
                state, pairs, without_gain = trial, found, 0
    return draft if pairs is None else new_draft(draft.problem, draft.objective, pairs)


def settled(draft: Draft) -> Draft:
    """The same uses with the least related mates."""
    return new_draft(draft.problem, draft.objective, least_related(draft.problem, draft.uses))


def shaken(draft: Draft, random: np.random.Generator) -> Draft:
    """A plan near this one: two to five random crosses out, one random pair in, completed and improved."""
    if draft.problem.scheme is not None:
        return exchanged_at_random(draft, random)
    trial = draft.copy()
    order = random.permutation(len(trial.pairs))[: int(random.integers(2, 6))]
    for pair in [trial.pairs[at] for at in sorted(order.tolist())]:
        trial.take(*pair)
    dams, sires = trial.fish_costs()
    possible: Whole = np.flatnonzero(np.isfinite(trial.cost + dams[:, None] + sires))
    among = keeping_needs(trial)
    if among is not None:
        possible = possible[among.ravel()[possible]]
    if len(possible):
        trial.put(*divmod(int(random.choice(possible)), len(sires)))
    fill(trial)
    descend(trial)
    return trial


def better_of(best: Draft, trial: Draft) -> Draft:
    """The better of two plans; the first if neither is."""
    return trial if is_better(figures(trial), figures(best)) else best
