"""Whether the limits leave room for a plan at all, and which fish and limits stand in the way if they do not.

A plan is a flow of N units from a source over the dams (how often each may be used), the permitted pairs (once each)
and the sires to a sink. If less gets through, a minimum cut is the bottleneck (Ford and Fulkerson 1956).
"""

from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.optimize import linprog  # type: ignore[attr-defined]
from scipy.sparse.csgraph import breadth_first_order, maximum_flow

from breeding.planning.problem import NO_LIMIT, Floats, Problem, Truths, Whole

PAIR_ONCE = "each_pair_once"
LEAST_USES = "least_uses"


@dataclass(frozen=True)
class Blocking:
    """A limit that stands in the way of a plan, and the fish it concerns."""

    limit: str
    fish: str


class InfeasibleError(ValueError):
    """No plan lies within the limits; `blocking` names what stands in the way, `possible` how many crosses would."""

    def __init__(self, wanted: int, possible: int, blocking: list[Blocking]) -> None:
        self.wanted, self.possible, self.blocking = wanted, possible, blocking
        limits = ", ".join(dict.fromkeys(one.limit for one in blocking))
        super().__init__(
            f"No plan of {wanted} crosses lies within the limits; {possible} can be made. In the way: {limits}. "
            "Relax a limit, or ask for fewer crosses."
        )


def check_feasible(problem: Problem) -> None:
    """Refuse a problem that no plan can meet.

    Raises
    ------
    InfeasibleError
        With the fish and limits that block.
    """
    over = _fixed_over_limit(problem)
    if over:
        raise InfeasibleError(problem.crosses, problem.crosses, over)
    flow, reached = _flow(problem, problem.capacity)
    if flow < problem.free:
        raise InfeasibleError(problem.crosses, len(problem.fixed) + flow, _cut(problem, reached))
    if problem.needed.any():
        _check_least(problem)


def _fixed_over_limit(problem: Problem) -> list[Blocking]:
    return [
        Blocking(name, problem.fish[fish])
        for name, most in problem.most.items()
        for fish in np.flatnonzero(problem.fixed_uses > most).tolist()
    ]


def has_pairs(problem: Problem, uses: Whole) -> bool:
    """Whether some allowed pairs have just these uses, (fish,)."""
    return _flow(problem, uses)[0] == int(uses.sum()) // 2


def _flow(problem: Problem, capacity: Whole) -> tuple[int, Truths]:
    """The most crosses with so many uses, (fish,), and which fish the source still reaches when they are made."""
    dams, fish = len(problem.dams), len(problem.fish)
    source, sink = fish, fish + 1
    rows, columns = np.nonzero(problem.allowed)
    tail = np.concatenate([np.full(dams, source), rows, np.arange(dams, fish)])
    head = np.concatenate([np.arange(dams), columns + dams, np.full(fish - dams, sink)])
    room = np.concatenate([capacity[:dams], np.ones(len(rows), dtype=np.int64), capacity[dams:]]).astype(np.int32)
    network = sparse.csr_array((room, (tail, head)), shape=(fish + 2, fish + 2))
    result = maximum_flow(sparse.csr_matrix(network), source, sink)
    residual = sparse.csr_array(network - result.flow)
    residual.data = np.where(residual.data > 0, residual.data, 0)
    residual.eliminate_zeros()
    order = breadth_first_order(residual, source, return_predecessors=False)
    reached = np.zeros(fish + 2, dtype=bool)
    reached[order] = True
    return int(result.flow_value), reached[:fish]


def _cut(problem: Problem, reached: Truths) -> list[Blocking]:
    """The limits across the minimum cut, fish by fish: uses that are spent, pairs that are ruled out or made once."""
    dams = len(problem.dams)
    cut = np.concatenate([~reached[:dams], reached[dams:]])
    blocking = [
        Blocking(_tightest(problem, fish), problem.fish[fish])
        for fish in np.flatnonzero(cut & (problem.capacity < NO_LIMIT)).tolist()
    ]
    crossing = reached[:dams, None] & ~reached[None, dams:]
    for name, pairs in [*problem.ruled_out.items(), (PAIR_ONCE, problem.allowed)]:
        across = pairs & crossing
        named = np.flatnonzero(np.concatenate([across.any(axis=1), across.any(axis=0)]))
        blocking += [Blocking(name, problem.fish[fish]) for fish in named.tolist()]
    return blocking


def _tightest(problem: Problem, fish: int) -> str:
    return min(problem.most, key=lambda name: int(problem.most[name][fish]))


def _check_least(problem: Problem) -> None:
    """Whether all fish that must be used can be: the least shortfall is a linear program, whole at its corners."""
    fish, pairs = len(problem.fish), np.argwhere(problem.allowed)
    incidence = incidence_of(pairs, len(problem.dams), fish)
    # Chosen pairs, then what is missing of each fish's least uses.
    missing = sparse.hstack([-incidence, -sparse.eye_array(fish)])
    used = sparse.hstack([incidence, sparse.csr_array((fish, fish))])
    total = np.concatenate([np.ones(len(pairs)), np.zeros(fish)])[None]
    found = linprog(
        np.concatenate([np.zeros(len(pairs)), np.ones(fish)]),
        A_ub=sparse.vstack([missing, used]),
        b_ub=np.concatenate([-problem.needed, np.minimum(problem.capacity, problem.free)]),
        A_eq=total,
        b_eq=[problem.free],
        bounds=[(0, 1)] * len(pairs) + [(0, None)] * fish,
    )
    short: Floats = found.x[len(pairs) :]
    if short.sum() > 0.5:
        named = [Blocking(LEAST_USES, problem.fish[one]) for one in np.flatnonzero(short > 1e-6).tolist()]
        raise InfeasibleError(problem.crosses, problem.crosses, named)


def incidence_of(pairs: Whole, dams: int, fish: int) -> sparse.csr_array:
    """Which fish stand in which pair, (fish, pairs)."""
    count = np.arange(len(pairs))
    rows = np.concatenate([pairs[:, 0], pairs[:, 1] + dams])
    return sparse.csr_array((np.ones(2 * len(pairs)), (rows, np.concatenate([count, count]))), shape=(fish, len(pairs)))
