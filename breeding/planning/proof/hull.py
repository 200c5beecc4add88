"""The best mixture of corners found so far: a small quadratic program over weights that add up to one."""

from dataclasses import dataclass, field

import numpy as np

from breeding.planning.problem import Floats, Whole
from breeding.planning.proof.relaxed import Corner, Split


@dataclass(slots=True, eq=False)
class Hull:
    """Corners with weights (Wolfe 1976, Math. Program. 11: 128: corners whose weight falls to nought are dropped)."""

    corners: list[Corner] = field(default_factory=list)
    weights: Floats = field(default_factory=lambda: np.zeros(0))

    @property
    def points(self) -> Whole:
        """Uses of each corner, (corners, fish)."""
        return np.array([corner.uses for corner in self.corners])

    @property
    def middle(self) -> Floats:
        """Uses of the mixture, (fish,)."""
        middle: Floats = self.weights @ self.points
        return middle

    def spread(self, split: Split) -> Floats:
        """Variance of the uses over the mixture, (fish,): what Δ gains there."""
        middle = self.middle
        if split.problem.scheme is not None:  # corners of the flow may lie between all mates and none
            return np.maximum(middle * (split.most - middle), 0.0)
        spread: Floats = self.weights @ self.points**2 - middle**2
        return np.maximum(spread, 0.0)

    def add(self, corner: Corner) -> None:
        """A further corner, without weight so far; the first takes it all."""
        self.corners.append(corner)
        self.weights = np.append(self.weights, 0.0 if len(self.weights) else 1.0)

    def value(self, split: Split) -> float:
        """The relaxed objective at the mixture."""
        middle = self.middle
        flat = middle @ split.objective.linear + self.weights @ self._own(split)
        return split.objective.constant + float(middle @ split.rest @ middle + flat)

    def _own(self, split: Split) -> Floats:
        return np.array([split.own(corner.uses) + corner.pair_cost for corner in self.corners])

    def settled(self, split: Split) -> Floats:
        """The mixture once its weights are those of least relaxed objective, (fish,)."""
        points = self.points
        gram = points @ split.rest @ points.T
        gram += np.eye(len(gram)) * (1e-13 * (1 + float(np.trace(gram))))
        flat = points @ split.objective.linear + self._own(split)
        kept, self.weights = lightest(gram, flat, self.weights)
        self.corners = [self.corners[at] for at in kept.tolist()]
        return self.middle


def lightest(gram: Floats, flat: Floats, weights: Floats) -> tuple[Whole, Floats]:
    """Which corners keep weight where wᵀ gram w + flatᵀ w is least, from weights that add up to one, and how much."""
    kept = np.arange(len(weights))
    while True:
        target = _stationary(gram[np.ix_(kept, kept)], flat[kept])
        if target.min() >= -1e-12:
            break
        falling = np.flatnonzero(target < 0)
        steps = weights[falling] / (weights[falling] - target[falling])
        weights = weights + float(steps.min()) * (target - weights)
        stays = weights > 1e-12
        stays[falling[steps.argmin()]] = False
        kept, weights = kept[stays], weights[stays] / weights[stays].sum()
    weights = np.maximum(target, 0.0) / np.maximum(target, 0.0).sum()
    return kept, weights


def single(corner: Corner) -> Hull:
    """A hull of one corner."""
    hull = Hull()
    hull.add(corner)
    return hull


def _stationary(gram: Floats, flat: Floats) -> Floats:
    """Weights that add up to one where wᵀ gram w + flatᵀ w is stationary."""
    count = len(flat)
    scale = float(np.trace(gram)) / count or 1.0
    system = np.ones((count + 1, count + 1))
    system[:count, :count] = 2 * gram / scale
    system[count, count] = 0.0
    right = np.append(-flat / scale, 1.0)
    weights: Floats = np.linalg.solve(system, right)[:count]
    return weights
