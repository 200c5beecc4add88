"""Out of a dead end: some crosses are given up at random, the plan is completed and improved again."""

import numpy as np

from breeding.planning.objective import Figures, figures_of, is_better
from breeding.planning.problem import Whole
from breeding.planning.search.descent import descend
from breeding.planning.search.draft import Draft, new_draft
from breeding.planning.search.fill import fill, keeping_needs
from breeding.planning.search.mates import least_related
from breeding.planning.search.whole import exchange, exchanged_at_random, lay_out


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
    if draft.problem.scheme is None:
        descend(draft)
    else:
        exchange(draft)


def settle(draft: Draft) -> Draft:
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
