"""Where each cross of a plan stands among those that could take its place, and which founders it serves."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np

from breeding.genetics.founders import contributions
from breeding.genetics.pedigree import Pedigree
from breeding.planning.objective import objective_of
from breeding.planning.problem import Floats, Problem, Whole
from breeding.planning.search.draft import MOVE_TIE, Draft, new_draft
from breeding.planning.search.fill import keeping_needs

Pair = tuple[int, int]

FOUNDERS_AT_ONCE = 64
SHARE = 1e-9  # smaller differences of founder shares are none


@dataclass(frozen=True)
class Standing:
    """A cross of a plan among the pairs that could stand in its place, all other crosses staying.

    Attributes
    ----------
    rank, of : its place among them, itself included; 1 is best, and the best plan found has 1 throughout.
    next_best : the best other; None if there is none.
    loss : by how much the objective is higher with that one in its place; below 0 where it would be lower.
    fixed : made already or locked: it is in because it was asked for.
    """

    pair: Pair
    rank: int
    of: int
    next_best: Pair | None
    loss: float
    fixed: bool = False


@dataclass(frozen=True, eq=False)
class Founders:
    """Whom the genes of stock and candidates come from.

    Attributes
    ----------
    names : of the founders, as in the pedigree.
    in_stock : (founders,), their expected shares of the genes of the living.
    in_fish : (fish, founders), their expected shares of the genes of each candidate.
    """

    names: tuple[Hashable, ...]
    in_stock: Floats
    in_fish: Floats


@dataclass(frozen=True)
class Served:
    """A founder with less than an equal share in the stock and more in the young of a cross."""

    founder: Hashable
    in_stock: float
    in_young: float


def standings(problem: Problem, pairs: Sequence[Pair]) -> list[Standing]:
    """The standing of each cross of a plan, in its order; under a scheme no single cross can take another's place."""
    fixed = set(problem.fixed)
    if problem.scheme is not None:
        return [Standing(pair, 1, 1, None, 0.0, pair in fixed) for pair in pairs]
    draft = new_draft(problem, objective_of(problem), [pair for pair in pairs if pair not in fixed])
    return [Standing(pair, 1, 1, None, 0.0, True) if pair in fixed else _standing(draft, pair) for pair in pairs]


def _standing(draft: Draft, pair: Pair) -> Standing:
    draft.take(*pair)
    dams, sires = draft.fish_costs()
    costs = draft.cost + dams[:, None] + sires
    among = keeping_needs(draft)
    if among is not None:
        costs[~among] = np.inf
    # A cross that a limit forbids by now is compared all the same.
    own = float(draft.cost[pair]) + _fish_cost(draft, pair)
    costs[pair] = np.inf
    draft.put(*pair)
    others = np.isfinite(costs)
    if not others.any():
        return Standing(pair, 1, 1, None, 0.0)
    best = float(costs.min())
    tied = np.argwhere(costs <= best + MOVE_TIE)
    least = min(tied.tolist(), key=lambda one: (draft.problem.between[one[0], one[1]], one))
    rank = 1 + int((costs[others] < own - MOVE_TIE).sum())
    return Standing(pair, rank, 1 + int(others.sum()), (least[0], least[1]), best - own)


def _fish_cost(draft: Draft, pair: Pair) -> float:
    own = np.diagonal(draft.objective.quadratic)
    two = [pair[0], len(draft.problem.dams) + pair[1]]
    return float((draft.gradient + own)[two].sum())


def founders_of(pedigree: Pedigree, living: dict[Hashable, int], at: Whole) -> Founders:
    """Founder shares of the living and of the candidates, who stand at so many places of the pedigree, (fish,).

    Shares of unknown parents are in none of them, so that they may add up to less than 1.
    """
    found = contributions(pedigree, living)
    names = tuple(pedigree.ids[fish] for fish in found.founders.tolist())
    return Founders(names, found.of_founders, _shares(pedigree, found.founders, at))


def _shares(pedigree: Pedigree, founders: Whole, at: Whole) -> Floats:
    """Handed down the pedigree from parents to young, a few founders at a time, (fish, founders)."""
    breeders = pedigree.breeders
    rows = breeders.row_of[at]
    bred = rows < breeders.rows
    parts = [np.zeros((len(at), 0))]
    for start in range(0, len(founders), FOUNDERS_AT_ONCE):
        part = founders[start : start + FOUNDERS_AT_ONCE]
        of_rows = np.zeros((breeders.rows + 1, len(part)))
        of_rows[breeders.row_of[part], np.arange(len(part))] = 1
        of_rows[breeders.rows] = 0  # founders that never bred
        for first, parents, shares in breeders.steps:
            of_rows[first : first + shares.shape[0]] += shares @ of_rows[parents]
        found = (breeders.weights @ of_rows[:-1])[pedigree.family[at]]
        found[bred] = of_rows[rows[bred]]
        found[at[:, None] == part[None, :]] = 1
        parts.append(found)
    return np.concatenate(parts, axis=1)


def served_by(problem: Problem, founders: Founders, pair: Pair) -> list[Served]:
    """The founders that a cross serves, those whose share it raises most first.

    Served is who holds less than an equal share of the stock's genes, and more in the young than in the stock.
    """
    held = founders.in_stock > SHARE
    held |= founders.in_fish.max(axis=0, initial=0.0) > SHARE
    equal = 1 / max(int(held.sum()), 1)
    young = (founders.in_fish[pair[0]] + founders.in_fish[len(problem.dams) + pair[1]]) / 2
    gain = young - founders.in_stock
    wanted = np.flatnonzero((founders.in_stock < equal - SHARE) & (gain > SHARE))
    order = wanted[np.argsort(-gain[wanted], kind="stable")]
    return [Served(founders.names[one], float(founders.in_stock[one]), float(young[one])) for one in order.tolist()]
