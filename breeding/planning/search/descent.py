"""Better by small steps: replace one cross, or let two crosses change mates, until no such step helps."""

import numpy as np

from breeding.planning.problem import Floats
from breeding.planning.search.draft import MOVE_TIE, Draft, Pair, cheapest_pair
from breeding.planning.search.fill import keeping_needs

MOST_ROUNDS = 60


def descend(draft: Draft) -> None:
    """Improve a complete plan in place; at equal objective towards less related pairs, then towards the first ids."""
    for _ in range(MOST_ROUNDS):
        changed = [replace_one(draft, pair) for pair in sorted(draft.pairs)]
        swapped = draft.problem.price > 0 and swap_mates(draft)
        if not any(changed) and not swapped:
            return


def replace_one(draft: Draft, pair: Pair) -> bool:
    """Take a pair out and put the best allowed one in; whether that is another."""
    draft.take(*pair)
    dams, sires = draft.fish_costs()
    own = float(draft.cost[pair] + dams[pair[0]] + sires[pair[1]])
    found = cheapest_pair(draft, keeping_needs(draft))
    best, other = (own, pair) if found is None else found
    better = best < own - MOVE_TIE or (best <= own + MOVE_TIE and _comes_first(draft, other, pair))
    draft.put(*(other if better else pair))
    return better


def _comes_first(draft: Draft, other: Pair, pair: Pair) -> bool:
    difference = draft.problem.between[other] - draft.problem.between[pair]
    return bool(difference < -MOVE_TIE or (abs(difference) <= MOVE_TIE and other < pair))


def swap_mates(draft: Draft) -> bool:
    """Let two crosses change mates as long as that lowers the price of inbreeding; the uses stay. Whether any did."""
    swapped = False
    for _ in range(10 * len(draft.pairs)):
        dams, sires = np.array(draft.pairs, dtype=int).reshape(-1, 2).T
        gain = _swap_costs(draft, dams, sires)
        if not len(dams) or gain.min() >= -MOVE_TIE:
            return swapped
        one, two = divmod(int(gain.argmin()), len(dams))
        first, second = draft.pairs[one], draft.pairs[two]
        for pair in (first, second):
            draft.take(*pair)
        draft.put(first[0], second[1])
        draft.put(second[0], first[1])
        swapped = True
    return swapped


def _swap_costs(draft: Draft, dams: np.ndarray, sires: np.ndarray) -> Floats:
    """What it costs that two crosses change mates, (pairs, pairs); infinite where a new pair may not be made."""
    price = np.where(np.isfinite(draft.cost), draft.objective.pair, np.inf)[np.ix_(dams, sires)]
    own = draft.objective.pair[dams, sires]
    result: Floats = price + price.T - own[:, None] - own[None, :]
    return result
