"""The proof that closes the gap: branch and bound on how often each fish is used (Land and Doig 1960).

Each branch is bounded as the whole is. Where the mixture is broken, the uses of one fish are limited from above in one
branch and from below in the other; among fish that the problem cannot tell apart the first is used at least as often as
the next, which loses no plan. What is left open when time is up keeps its bound.
"""

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from breeding.planning.problem import Whole, uses_of
from breeding.planning.proof.alike import arranged, groups_alike
from breeding.planning.proof.bound import Bound, Oracle, by_uses, rounds
from breeding.planning.proof.hull import Hull, single
from breeding.planning.proof.prices import pair_flow
from breeding.planning.proof.relaxed import Corner, Split

Pair = tuple[int, int]
# Variance of uses below which the mixture is a single corner.
WHOLE = 1e-7
# Branches are given up, and keep their bound, once those open hold so many figures.
MOST_FIGURES = 2_000_000


@dataclass(order=True, slots=True)
class Branch:
    """Plans with limited uses, none below `value`; `hull` is their best mixture."""

    value: float
    number: int
    split: Split = field(compare=False)
    hull: Hull = field(compare=False)


@dataclass(slots=True, eq=False)
class Tree:
    """Branches still open, the least bound first.

    Attributes
    ----------
    closed_at : the least bound of branches that were given up though not proven; infinite without any.
    whatever_pairs : fish that differ in their mates alone are taken as alike; uses without pairs are then given up.
    """

    bound: Bound
    tell: Callable[[Whole], float]
    pairs_matter: bool
    alike: list[list[int]]
    open: list[Branch] = field(default_factory=list)
    number: int = 0
    closed_at: float = np.inf
    whatever_pairs: bool = False

    @property
    def least(self) -> float:
        """No plan has an objective below this."""
        return min(self.open[0].value if self.open else np.inf, self.closed_at, self.bound.aim)


def prove(bound: Bound, pairs: Sequence[Pair], *, pairs_matter: bool, tell: Callable[[Whole], float]) -> None:
    """Raise the bound until the best plan is proven, or the bound's `stop` ends it.

    Parameters
    ----------
    pairs
        A plan without its fixed pairs, to begin from.
    pairs_matter
        Whether inbreeding has a price or pairs are ruled out.
    tell
        Told uses (fish,) that might make a better plan; answers with the objective of the best plan known.
    """
    problem, objective = bound.problem, bound.split.objective
    price = float(sum(objective.pair[pair] for pair in pairs))
    start = Branch(-np.inf, 0, bound.split, single(Corner(uses_of(problem, pairs), price)))
    if problem.price == 0 and not problem.allowed.all():
        # Ruled out pairs set sibs apart, and a proof that tells sibs apart is long: first without.
        alike = groups_alike(problem, objective, whatever_pairs=True)
        _grow(Tree(bound, tell, pairs_matter=False, alike=alike, whatever_pairs=True), start)
    if not bound.closed and not bound.stop():
        _grow(Tree(bound, tell, pairs_matter, groups_alike(problem, objective)), start)


def _grow(tree: Tree, start: Branch) -> None:
    """Branch until the bound has reached the best plan, or as far as branches that were given up allow."""
    bound = tree.bound
    _look_into(tree, start.split, start)
    most = MOST_FIGURES // len(bound.problem.fish)
    while tree.open and tree.open[0].value < tree.closed_at and len(tree.open) < most and not bound.stop():
        bound.raise_to(tree.least)
        if bound.closed:
            return
        branch = heapq.heappop(tree.open)
        for split in _two_of(tree, branch):
            _look_into(tree, split, branch)
    bound.raise_to(tree.least)


def _look_into(tree: Tree, split: Split, parent: Branch) -> None:
    """Bound the plans of a split; keep the branch open unless none of them can be better."""
    start, least = parent.hull.corners, parent.value
    if tree.bound.problem.price == 0:
        # Sorting is far faster than the flow and often enough, though its corners need not be plans.
        value, hull = _bounded(tree, split, parent, (by_uses(split), start))
        least = max(least, value)
        if hull is None or tree.bound.reaches(value):
            return
        if not tree.pairs_matter:
            if tree.whatever_pairs or not _is_whole(hull, split) or not _no_plan(tree, hull, value):
                _keep(tree, split, hull, least)
                return
            start = []
    value, hull = _bounded(tree, split, parent, (pair_flow(split, (), int(split.most.max())).least, start))
    if hull is not None and not tree.bound.reaches(value):
        _keep(tree, split, hull, max(least, value))


def _no_plan(tree: Tree, hull: Hull, value: float) -> bool:
    """Whether whole uses are those of no plan better than the best; if they are, the plan is told."""
    uses = arranged(tree.bound.problem, tree.alike, np.round(hull.middle).astype(np.int64))
    if uses is not None:
        tree.bound.aim = tree.tell(uses)
    return not tree.bound.reaches(value)


def _keep(tree: Tree, split: Split, hull: Hull, value: float) -> None:
    if not _is_whole(hull, split):
        tree.number += 1
        heapq.heappush(tree.open, Branch(value, tree.number, split, hull))
    elif _no_plan(tree, hull, value):
        tree.closed_at = min(tree.closed_at, value)


def _bounded(
    tree: Tree, split: Split, parent: Branch, way: tuple[Oracle, Sequence[Corner]]
) -> tuple[float, Hull | None]:
    """The bound of a branch and its best mixture, from the corners that fit; None if it holds no plan."""
    oracle, start = way
    hull = Hull()
    for corner in start:
        if (corner.uses >= split.least).all() and (corner.uses <= split.most).all():
            hull.add(corner)
    if not hull.corners:
        _, first = oracle(split.slope(parent.hull.middle))
        if first is None:
            return np.inf, None
        hull.add(first)
    return rounds(tree.bound, split, hull, oracle), hull


def _two_of(tree: Tree, branch: Branch) -> tuple[Split, Split]:
    """The plans of a branch by the uses of the fish whose mixture loses most: few, and many."""
    spread, middle, split = branch.hull.spread(branch.split), branch.hull.middle, branch.split
    fish = int(np.argmax(spread * (np.maximum(split.diagonal, 0) + 1e-9 * np.abs(split.diagonal).max() + 1e-300)))
    few = int(np.clip(np.ceil(middle[fish] - WHOLE) - 1, split.least[fish], split.most[fish] - 1))
    many = few + 1
    if split.problem.scheme is not None:
        few, many = 0, int(split.most[fish])
    most, least = split.most.copy(), split.least.copy()
    group = next((group for group in tree.alike if fish in group), [fish])
    at = group.index(fish)
    most[group[at:]] = np.minimum(most[group[at:]], few)
    least[group[: at + 1]] = np.maximum(least[group[: at + 1]], many)
    return replace(split, most=most), replace(split, least=least)


def _is_whole(hull: Hull, split: Split) -> bool:
    return bool(hull.spread(split).max() <= WHOLE)
