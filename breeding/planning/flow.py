"""The limits as a linear program: which pairs, if every pair has a price and every fish a least and a largest use.

Without a scheme the constraints are those of a flow, so every corner is a whole plan (Hoffman and Kruskal 1956). Under
a scheme a fish has all of its mates or none, and that choice is a whole number by itself.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[attr-defined]

from breeding.planning.problem import Floats, Problem, Whole

Pair = tuple[int, int]

# What keeps a plan within the limits, as groups of rows.
USES, NEW, NEW_FISH, MATES, TOTAL = "uses", "new", "new fish", "mates", "total"


@dataclass(slots=True, eq=False)
class Program:
    """Columns of a program, added group by group, over named groups of rows, each between `low` and `high`."""

    low: dict[str, Floats]
    high: dict[str, Floats]
    cost: list[Floats] = field(default_factory=list)
    most: list[Floats] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    entries: list[dict[str, sparse.csr_array]] = field(default_factory=list)

    def add(
        self, cost: Floats, most: float | Floats, entries: dict[str, sparse.csr_array], *, whole: bool = False
    ) -> None:
        """Add columns from 0 to `most`, with their entries by group of rows."""
        self.cost.append(cost)
        self.most.append(np.broadcast_to(np.asarray(most, dtype=float), cost.shape))
        self.whole.append(whole)
        self.entries.append(entries)

    def solved(self, seconds: float = np.inf) -> list[Floats] | None:
        """The cheapest values by group of columns; None if there are none, or were none in that time."""
        cost = np.concatenate(self.cost)
        scale = float(np.abs(cost).max(initial=0.0)) or 1.0  # solvers take differences below 1e-7 for none
        parts = list(zip(self.entries, map(len, self.cost), strict=True))
        blocks = [
            [part.get(name, sparse.csr_array((len(self.low[name]), count))) for part, count in parts]
            for name in self.low
        ]
        found = milp(
            cost / scale,
            integrality=np.repeat(self.whole, [len(one) for one in self.cost]),
            bounds=Bounds(0, np.concatenate(self.most)),
            constraints=LinearConstraint(
                sparse.csr_array(sparse.block_array(blocks)),
                np.concatenate(list(self.low.values())),
                np.concatenate(list(self.high.values())),
            ),
            options={"time_limit": seconds} if np.isfinite(seconds) else {},
        )
        if found.x is None:
            return None
        ends = np.cumsum([len(one) for one in self.cost])[:-1]
        return list(np.split(found.x, ends))


def program_of(problem: Problem, pairs: Whole, cost: Floats, uses: tuple[Whole, Whole]) -> Program:
    """The program of pairs (pairs, 2) with a cost each, (pairs,), and uses between two arrays, (fish,).

    Its first group of columns is the pairs.
    """
    free = np.array([float(problem.free)])
    program = Program({USES: uses[0].astype(float), TOTAL: free}, {USES: uses[1].astype(float), TOTAL: free})
    incidence = incidence_of(pairs, len(problem.dams), len(problem.fish))
    program.add(cost, 1.0, {USES: incidence, TOTAL: sparse.csr_array(np.ones((1, len(pairs))))})
    return program


def with_all_limits(problem: Problem, program: Program) -> Program:
    """The same program with the fewest dams and sires and the scheme in it."""
    incidence = program.entries[0][USES]
    if any(problem.new_fish):
        program.entries[0][NEW] = -incidence
        _add_new_fish(program, problem)
    if problem.scheme is not None:
        program.entries[0][MATES] = incidence
        _add_mates(program, problem)
    return program


def _add_new_fish(program: Program, problem: Problem) -> None:
    """Columns that are 1 only for fish that are used; so many of them must be."""
    fish = len(problem.fish)
    program.low[NEW], program.high[NEW] = np.full(fish, -np.inf), np.zeros(fish)
    program.low[NEW_FISH], program.high[NEW_FISH] = np.array(problem.new_fish, dtype=float), np.full(2, np.inf)
    of_sides = np.zeros((2, fish))
    for row, side in enumerate(problem.sides):
        of_sides[row, side] = problem.fresh[side]
    entries = {NEW: sparse.csr_array(sparse.eye_array(fish)), NEW_FISH: sparse.csr_array(of_sides)}
    program.add(np.zeros(fish), 1.0, entries)


def _add_mates(program: Program, problem: Problem) -> None:
    """Columns, 0 or 1, for fish that have all of their mates or none."""
    fish, free = len(problem.fish), problem.needed == 0
    program.low[MATES] = program.high[MATES] = np.where(free, 0.0, problem.needed)
    entries = {MATES: sparse.csr_array(sparse.diags_array(-problem.mates * free.astype(float)))}
    program.add(np.zeros(fish), free.astype(float), entries, whole=True)


def corner(problem: Problem, fish_cost: Floats, pair_cost: Floats) -> list[Pair]:
    """The cheapest plan where each use of a fish and each pair has a fixed cost, (fish,) and (dams, sires)."""
    dams, room = len(problem.dams), problem.room
    cost = pair_cost + fish_cost[:dams, None] + fish_cost[None, dams:]
    pairs = usable(problem, room)
    program = program_of(problem, pairs, cost[pairs[:, 0], pairs[:, 1]], (problem.needed, room))
    return _chosen(pairs, with_all_limits(problem, program))


def least_pairs(problem: Problem, uses: Whole) -> list[Pair]:
    """The allowed pairs of least total kinship with exactly these uses, (fish,)."""
    pairs = usable(problem, uses)
    return _chosen(pairs, program_of(problem, pairs, problem.between[pairs[:, 0], pairs[:, 1]], (uses, uses)))


def usable(problem: Problem, most: Whole) -> Whole:
    """The allowed pairs of fish that may be used, (pairs, 2)."""
    dams = len(problem.dams)
    return np.argwhere(problem.allowed & (most[:dams, None] > 0) & (most[None, dams:] > 0))


def _chosen(pairs: Whole, program: Program) -> list[Pair]:
    found = program.solved()
    if found is None:
        raise ValueError("No allowed pairs have these uses.")
    return [(int(dam), int(sire)) for dam, sire in pairs[found[0] > 0.5]]


def incidence_of(pairs: Whole, dams: int, fish: int) -> sparse.csr_array:
    """Which fish stand in which pair, (fish, pairs)."""
    count = np.arange(len(pairs))
    rows = np.concatenate([pairs[:, 0], pairs[:, 1] + dams])
    return sparse.csr_array((np.ones(2 * len(pairs)), (rows, np.concatenate([count, count]))), shape=(fish, len(pairs)))
