"""Whether the limits leave room for a plan at all, and which fish and limits stand in the way if they do not.

A plan is a flow of N units from a source over the dams (how often each may be used), the permitted pairs (once each)
and the sires to a sink. If less gets through, a minimum cut is the bottleneck (Ford and Fulkerson 1956).
"""

from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.sparse.csgraph import breadth_first_order, maximum_flow

from breeding.planning.flow import NEW_FISH, USES, program_of, usable, with_all_limits
from breeding.planning.problem import NO_LIMIT, SCHEME, Problem, Truths, Whole

PAIR_ONCE = "each_pair_once"
LEAST_USES = "least_uses"
FEWEST = FEWEST_DAMS, FEWEST_SIRES = "fewest_dams", "fewest_sires"
# A scheme is looked for so long, in seconds; beyond that it counts as impossible.
PATIENCE = 20.0


@dataclass(frozen=True)
class Blocking:
    """A limit that stands in the way of a plan, and the fish it concerns; no fish where it concerns the whole plan."""

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
    _check_whole(problem)
    flow, reached = _flow(problem, problem.capacity)
    if flow < problem.free:
        raise InfeasibleError(problem.crosses, len(problem.fixed) + flow, _cut(problem, reached))
    if problem.scheme is not None and _easy_by_scheme(problem):
        return
    if problem.needed.any() or any(problem.new_fish) or problem.scheme is not None:
        _check_least(problem)


def _check_whole(problem: Problem) -> None:
    """What can be said before any pair is looked at: places for the crosses, crosses made already, the scheme."""
    crosses = problem.crosses
    short = [Blocking(name, "") for name, most in problem.in_all.items() if most < crosses]
    if short:
        raise InfeasibleError(crosses, min(problem.in_all.values()), short)
    over = [
        Blocking(name, problem.fish[fish])
        for name, most in problem.caps.items()
        for fish in np.flatnonzero(problem.fixed_uses > most).tolist()
    ]
    if over:
        raise InfeasibleError(crosses, crosses, over)
    if problem.scheme is not None:
        whole = np.lcm(problem.scheme.mates_of_dam, problem.scheme.mates_of_sire)
        if crosses % whole:
            raise InfeasibleError(crosses, int(crosses - crosses % whole), [Blocking(SCHEME, "")])


def has_pairs(problem: Problem, uses: Whole) -> bool:
    """Whether some allowed pairs have just these uses, (fish,)."""
    return some_pairs(problem, uses) is not None


def some_pairs(problem: Problem, uses: Whole) -> list[tuple[int, int]] | None:
    """Allowed pairs of just these uses, (fish,), whichever; None if there are none."""
    dams, sires = (np.flatnonzero(uses[part]) for part in problem.sides)
    of_dams, of_sires = uses[dams], uses[sires + len(problem.dams)]
    if not int(of_dams.sum()) == int(of_sires.sum()) == problem.free:
        return None
    _, made, value = _carried(problem.allowed[np.ix_(dams, sires)], of_dams, of_sires)
    if value < problem.free:
        return None
    rows, columns = np.nonzero(made.toarray()[: len(dams), len(dams) : -2] > 0)
    return list(zip(dams[rows].tolist(), sires[columns].tolist(), strict=True))


def _easy_by_scheme(problem: Problem) -> bool:
    uses = easiest_by_scheme(problem)
    used = [int((problem.fresh & (uses > 0))[part].sum()) for part in problem.sides]
    enough = all(one >= wanted for one, wanted in zip(used, problem.new_fish, strict=True))
    return enough and bool((uses <= problem.capacity).all()) and has_pairs(problem, uses)


def easiest_by_scheme(problem: Problem) -> Whole:
    """Uses by a scheme of the fish that are allowed most mates, (fish,); most often some pairs have them."""
    mates = np.concatenate([problem.allowed.sum(axis=1), problem.allowed.sum(axis=0)])
    uses = problem.needed.copy()
    for part in problem.sides:
        can = (uses[part] == 0) & (problem.room[part] == problem.mates[part])
        order = np.flatnonzero(can)[np.argsort(-mates[part][can], kind="stable")] + part.start
        left = (problem.free - int(uses[part].sum())) // int(problem.mates[part][0])
        uses[order[: max(left, 0)]] = problem.mates[part][0]
    return uses


def _flow(problem: Problem, capacity: Whole) -> tuple[int, Truths]:
    """The most crosses with so many uses, (fish,), and which fish the source still reaches when they are made."""
    dams, fish = len(problem.dams), len(problem.fish)
    network, made, value = _carried(problem.allowed, capacity[:dams], capacity[dams:])
    residual = sparse.csr_array(network - made)
    residual.data = np.where(residual.data > 0, residual.data, 0)
    residual.eliminate_zeros()
    order = breadth_first_order(residual, fish, return_predecessors=False)
    reached = np.zeros(fish + 2, dtype=bool)
    reached[order] = True
    return value, reached[:fish]


def _carried(allowed: Truths, of_dams: Whole, of_sires: Whole) -> tuple[sparse.csr_array, sparse.csr_array, int]:
    """The network of dams, sires, source and sink, what a largest flow carries over it, and how much that is."""
    dams, fish = len(of_dams), len(of_dams) + len(of_sires)
    source, sink = fish, fish + 1
    rows, columns = np.nonzero(allowed)
    tail = np.concatenate([np.full(dams, source), rows, np.arange(dams, fish)])
    head = np.concatenate([np.arange(dams), columns + dams, np.full(fish - dams, sink)])
    room = np.concatenate([of_dams, np.ones(len(rows), dtype=np.int64), of_sires]).astype(np.int32)
    network = sparse.csr_array((room, (tail, head)), shape=(fish + 2, fish + 2))
    result = maximum_flow(sparse.csr_matrix(network), source, sink)
    return network, sparse.csr_array(result.flow), int(result.flow_value)


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
    return min(problem.caps, key=lambda name: int(problem.caps[name][fish]))


def _check_least(problem: Problem) -> None:
    """Whether all that must be used can be: the least shortfall, of single fish and of their number."""
    fish, sexes = len(problem.fish), len(FEWEST)
    pairs = usable(problem, problem.room)
    most = np.maximum(problem.room, problem.needed)
    program = with_all_limits(problem, program_of(problem, pairs, np.zeros(len(pairs)), (problem.needed, most)))
    program.add(np.ones(fish), np.inf, {USES: sparse.csr_array(sparse.eye_array(fish))})
    if NEW_FISH in program.low:
        program.add(np.ones(sexes), np.inf, {NEW_FISH: sparse.csr_array(sparse.eye_array(sexes))})
    found = program.solved(PATIENCE)
    if found is None:
        raise InfeasibleError(problem.crosses, 0, [Blocking(SCHEME, "")])
    missing = np.concatenate(found[-2:] if NEW_FISH in program.low else [found[-1], np.zeros(sexes)])
    if missing.sum() > 0.5:
        named = [Blocking(LEAST_USES, problem.fish[one]) for one in np.flatnonzero(missing[:fish] > 1e-6).tolist()]
        named += [Blocking(FEWEST[side], "") for side in range(sexes) if missing[fish + side] > 1e-6]
        raise InfeasibleError(problem.crosses, problem.crosses, named)
