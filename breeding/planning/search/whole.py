"""Plans by a scheme: a fish has all of its mates or none, so whole fish are exchanged, not single crosses."""

import numpy as np

from breeding.planning.feasible import easiest_by_scheme, has_pairs
from breeding.planning.flow import corner
from breeding.planning.objective import TIE, figures_of
from breeding.planning.problem import Floats, Problem, Whole
from breeding.planning.search.draft import MOVE_TIE, Draft, Pair, new_draft
from breeding.planning.search.mates import least_related

MOST_ROUNDS = 60
# So many exchanges of a round are looked at with their pairs, the most promising first.
LOOKED_AT = 6


def lay_out(draft: Draft) -> None:
    """Choose fish one after the other, the cheapest first, dams and sires by turns; then who meets whom."""
    problem, quadratic = draft.problem, draft.objective.quadratic
    uses = problem.needed.copy()
    own = np.diagonal(quadratic)
    while uses.sum() < 2 * problem.free:
        gradient = draft.objective.linear + 2 * quadratic @ uses
        cost = np.where((uses == 0) & (problem.room == problem.mates), gradient + problem.mates * own, np.inf)
        for part in problem.sides:
            if uses[part].sum() >= problem.free:
                cost[part] = np.inf
        at = int(cost.argmin())
        if not np.isfinite(cost[at]):
            break
        uses[at] = problem.mates[at]
    pairs = _pairs(problem, uses) or _pairs(problem, easiest_by_scheme(problem))
    if pairs is None:
        pairs = corner(problem, draft.objective.linear + 2 * quadratic @ uses, draft.objective.pair)
    become(draft, pairs)


def exchange(draft: Draft) -> None:
    """Let unused fish take the place of used ones as long as that is better."""
    if draft.problem.price > 0:
        for _ in range(MOST_ROUNDS):
            if not _one_exchange(draft):
                return
    else:
        _exchange_uses(draft)


def _exchange_uses(draft: Draft) -> None:
    """The same where pairs have no price: only whether the uses have pairs is asked, who meets whom at the end."""
    problem, uses = draft.problem, draft.uses.copy()
    for _ in range(10 * MOST_ROUNDS):
        for change, out, into in _promising(draft, uses):
            if change >= -MOVE_TIE:
                continue
            trial = uses.copy()
            _swap(trial, out, into)
            if has_pairs(problem, trial):
                uses = trial
                break
        else:
            break
    if (uses != draft.uses).any():
        become(draft, least_related(problem, uses))


def exchanged_at_random(draft: Draft, random: np.random.Generator) -> Draft:
    """A plan near this one: one or two fish exchanged at random, then improved; the same where that has no pairs."""
    problem, trial = draft.problem, draft.copy()
    uses = draft.uses.copy()
    for _ in range(int(random.integers(1, 3))):
        part = problem.sides[int(random.integers(2))]
        out, into = (np.flatnonzero(one[part]) + part.start for one in _exchangeable(problem, uses))
        if len(out) and len(into):
            _swap(uses, int(random.choice(out)), int(random.choice(into)))
    pairs = _pairs(problem, uses)
    if pairs is not None:
        become(trial, pairs)
    exchange(trial)
    return trial


def _one_exchange(draft: Draft) -> bool:
    """Make the first of the promising exchanges that is better, pairs and all; whether there was any."""
    now = _worth(draft.problem, draft.pairs)
    for _, out, into in _promising(draft, draft.uses):
        uses = draft.uses.copy()
        _swap(uses, out, into)
        pairs = _pairs(draft.problem, uses)
        if pairs is not None and _worth(draft.problem, pairs) < now - TIE:
            become(draft, pairs)
            return True
    return False


def _promising(draft: Draft, uses: Whole) -> list[tuple[float, int, int]]:
    """Exchanges (change of the uses' part of the objective, fish out, fish in), the most promising first."""
    problem, quadratic = draft.problem, draft.objective.quadratic
    out, into = _exchangeable(problem, uses)
    own, gradient = np.diagonal(quadratic), draft.objective.linear + 2 * quadratic @ uses
    found = []
    for part in problem.sides:
        old, new = (np.flatnonzero(one[part]) + part.start for one in (out, into))
        if not len(old) or not len(new):
            continue
        mates = int(problem.mates[part][0])
        change = mates * (gradient[new] - gradient[old][:, None])
        change += mates**2 * (own[old][:, None] + own[new] - 2 * quadratic[np.ix_(old, new)])
        change += mates * _price(draft, part, old, new)
        order = np.argsort(change, axis=None, kind="stable")[:LOOKED_AT]
        for row, column in zip(*np.unravel_index(order, change.shape), strict=True):
            found.append((float(change[row, column]), int(old[row]), int(new[column])))
    return sorted(found)[:LOOKED_AT]


def _price(draft: Draft, part: slice, old: Whole, new: Whole) -> Floats:
    """What an exchange costs a cross by the price on inbreeding, against the mates now used, (old, new)."""
    by_fish = draft.objective.pair if part.start == 0 else draft.objective.pair.T
    other = draft.problem.sides[1 if part.start == 0 else 0]
    mean = by_fish[:, draft.uses[other] > 0].mean(axis=1)
    price: Floats = mean[new - part.start] - mean[old - part.start][:, None]
    return price


def _exchangeable(problem: Problem, uses: Whole) -> tuple[np.ndarray, np.ndarray]:
    """Which fish may leave the plan, and which may come into it, each (fish,)."""
    return (uses > 0) & (problem.needed == 0), (uses == 0) & (problem.room == problem.mates)


def _swap(uses: Whole, out: int, into: int) -> None:
    uses[into], uses[out] = uses[out], 0


def _pairs(problem: Problem, uses: Whole) -> list[Pair] | None:
    """The least related pairs of these uses; None if they have none."""
    return least_related(problem, uses) if has_pairs(problem, uses) else None


def _worth(problem: Problem, pairs: list[Pair]) -> float:
    return figures_of(problem, [*problem.fixed, *pairs]).objective


def become(draft: Draft, pairs: list[Pair]) -> None:
    """Let a draft hold these pairs in place of its own."""
    fresh = new_draft(draft.problem, draft.objective, pairs)
    draft.pairs, draft.uses, draft.gradient, draft.cost = fresh.pairs, fresh.uses, fresh.gradient, fresh.cost
