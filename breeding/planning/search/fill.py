"""Completing a plan: the cheapest pair again and again, and a detour where the limits leave none."""

import numpy as np

from breeding.planning.flow import corner
from breeding.planning.problem import Truths, Whole
from breeding.planning.search.draft import Draft, cheapest_pair


def fill(draft: Draft) -> bool:
    """Choose pairs until the plan is complete; whether that could be done. The problem must have no scheme.

    Fish that must be used must be able to.
    """
    while len(draft.pairs) < draft.problem.free:
        among = keeping_needs(draft)
        found = cheapest_pair(draft, among)
        if found is None and among is not None:
            found = cheapest_pair(draft)
        if found is not None:
            draft.put(*found[1])
        elif not _detour(draft):
            return False
    if (draft.uses < draft.problem.needed).any() or max(new_fish_short(draft)) > 0:
        _begin_at_corner(draft)
    return True


def keeping_needs(draft: Draft) -> Truths | None:
    """The pairs that bring fish to their least uses, or further fish into the plan, (dams, sires); None if any will do.

    Further fish are asked for only once every cross left must bring one.
    """
    short, left = draft.uses < draft.problem.needed, draft.problem.free - len(draft.pairs)
    among = np.ones(draft.cost.shape, dtype=bool)
    for side, (part, lacking) in enumerate(zip(draft.problem.sides, new_fish_short(draft), strict=True)):
        wanted = short[part]
        if not wanted.any() and 0 < left <= lacking:
            wanted = draft.problem.fresh[part] & (draft.uses[part] == 0)
        if wanted.any():
            among &= np.expand_dims(wanted, 1 - side)
    return None if among.all() else among


def new_fish_short(draft: Draft) -> tuple[int, int]:
    """How many dams and sires are still to be brought into the plan; negative where there are more than must be."""
    problem = draft.problem
    used = problem.fresh & (draft.uses > 0)
    dams, sires = (wanted - int(used[part].sum()) for part, wanted in zip(problem.sides, problem.new_fish, strict=True))
    return dams, sires


def _begin_at_corner(draft: Draft) -> None:
    """Where fish must be used and were not, begin with the plan that a linear program of the costs now gives."""
    for pair in list(draft.pairs):
        draft.take(*pair)
    for dam, sire in corner(draft.problem, draft.gradient, draft.objective.pair):
        draft.put(dam, sire)


def _detour(draft: Draft) -> bool:
    """One cross more by changing mates along an augmenting path (Ford and Fulkerson 1956): no fish loses a use.

    Whether there was such a path; without one no plan has more crosses.
    """
    path = _path(draft)
    for dam, sire in path[1::2]:
        draft.take(dam, sire)
    for dam, sire in path[0::2]:
        draft.put(dam, sire)
    return bool(path)


def _path(draft: Draft) -> list[tuple[int, int]]:
    """Pairs to choose and to give up by turns, from a dam with room to a sire with room; none if there is no way."""
    problem = draft.problem
    dams = len(problem.dams)
    made = np.zeros(problem.allowed.shape, dtype=bool)
    for pair in draft.pairs:
        made[pair] = True
    open_pairs = problem.allowed & ~made
    room = draft.uses < problem.capacity
    from_sire, from_dam = np.full(dams, -1), np.full(len(problem.sires), -1)
    front = np.flatnonzero(room[:dams])
    from_sire[front] = len(problem.sires)  # a start: no sire led here
    while len(front):
        new_sires = _spread(open_pairs, front, from_dam)
        ends = new_sires[room[dams:][new_sires]]
        if len(ends):
            return _trace(int(ends[0]), from_dam, from_sire)
        if not len(new_sires):
            break
        front = _spread(made.T, new_sires, from_sire)
    return []


def _spread(links: Truths, front: Whole, came_from: Whole) -> Whole:
    """The fish newly reached from a front over links (front side, other side); notes where each was reached from."""
    reach = links[front]
    new = np.flatnonzero(reach.any(axis=0) & (came_from < 0))
    came_from[new] = front[reach[:, new].argmax(axis=0)]
    return new


def _trace(sire: int, from_dam: Whole, from_sire: Whole) -> list[tuple[int, int]]:
    path = []
    while True:
        dam = int(from_dam[sire])
        path.append((dam, sire))
        before = int(from_sire[dam])
        if before == len(from_dam):
            return path
        path.append((dam, before))
        sire = before
