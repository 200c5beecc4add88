"""The family sizes that keep most of given crosses: optimum contributions (Meuwissen 1997), with their proof."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breeding.planning.advice.beside import figures_of_any
from breeding.planning.objective import Figures
from breeding.planning.problem import Floats, Problem
from breeding.planning.proof.hull import lightest

Pair = tuple[int, int]

CLOSED = 1e-10  # of J: no other sizes can be better by more
ROUNDS = 1_000
LEFT_OUT = 1e-9  # a share below this is none


@dataclass(frozen=True)
class BestSizes:
    """The best sizes of the families of some crosses.

    Attributes
    ----------
    shares : of the young, in the order of the pairs; 0 of a family that gains nothing.
    figures : with these shares.
    lower_bound : no sizes of these families have a lower J.
    """

    shares: tuple[float, ...]
    figures: Figures
    lower_bound: float


def best_sizes(problem: Problem, pairs: Sequence[Pair]) -> BestSizes:
    """The sizes of least J for families of some crosses, and a bound on all others: convex, so exact but for rounding.

    A family may get nothing. The corner that the slope likes best is taken in until none is better than the mixture;
    that difference bounds what any sizes could gain (Frank and Wolfe 1956).
    """
    curve, flat, constant = _by_share(problem, pairs)
    shares = np.zeros(len(pairs))
    shares[int((np.diagonal(curve) + flat).argmin())] = 1.0
    value, left = 0.0, np.inf
    for _ in range(ROUNDS):
        slope = 2 * curve @ shares + flat
        value = constant + float(shares @ (curve @ shares + flat))
        best = int(slope.argmin())
        left = float(shares @ slope - slope[best])
        if left <= CLOSED * abs(value):
            break
        held = np.union1d(np.flatnonzero(shares), [best])
        kept, weights = lightest(curve[np.ix_(held, held)], flat[held], shares[held])
        shares = np.zeros(len(pairs))
        shares[held[kept]] = weights
    given = {pair: share for pair, share in zip(pairs, shares.tolist(), strict=True) if share > LEFT_OUT}
    return BestSizes(tuple(shares.tolist()), figures_of_any(problem, list(given), given), value - max(left, 0.0))


def _by_share(problem: Problem, pairs: Sequence[Pair]) -> tuple[Floats, Floats, float]:
    """J as constant + flatᵀ w + wᵀ curve w in the shares w of the families."""
    share = 1.0 if problem.living is None else problem.living.weight_of_young
    half = np.zeros((len(pairs), len(problem.fish)))
    parents = np.array(pairs).reshape(-1, 2) + np.array([0, len(problem.dams)])
    np.put_along_axis(half, parents, 0.5, axis=1)
    flat = problem.price * problem.between[tuple(np.array(pairs).reshape(-1, 2).T)]
    constant = 0.0
    if problem.living is not None:
        flat = flat + 2 * share * (1 - share) * half @ problem.living.mean_kinship
        constant = (1 - share) ** 2 * problem.living.coancestry
    curve: Floats = share**2 * half @ problem.kinship @ half.T
    return curve, flat, constant
