"""What a cross plan is asked to do: candidates, their kinship, how many crosses, and the limits by name."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
Truths = npt.NDArray[np.bool_]

# Stands for "as often as there are mates", far above any number of crosses and safe to add up.
NO_LIMIT = 1_000_000
SCHEME = "scheme"


@dataclass(frozen=True, eq=False)
class LivingShare:
    """The living stock beside which the young are judged.

    Attributes
    ----------
    coancestry : θ of the living, self included.
    mean_kinship : (dams + sires,), of each candidate with the living.
    weight_of_young : A, 0 < A ≤ 1, the share of the young in the group of both.
    """

    coancestry: float
    mean_kinship: Floats
    weight_of_young: float


@dataclass(frozen=True)
class Scheme:
    """Who meets how many: a fish that is used at all meets exactly so many mates.

    Single pair: 1 and 1. Nested: k and 1. Partial factorial: k and k. Full factorial of D dams and S sires: S and D.

    Attributes
    ----------
    mates_of_dam, mates_of_sire : 1 or more; the crosses of a plan are a whole multiple of both.
    """

    mates_of_dam: int
    mates_of_sire: int


@dataclass(frozen=True, eq=False)
class Problem:
    """A season's question. Arrays over fish have the dams first, then the sires.

    Attributes
    ----------
    dams, sires : register numbers, each list sorted, so that the order of entry has no say in ties.
    kinship : (fish, fish), self-kinship on the diagonal.
    crosses : N, the number of families of the season, those in `fixed` included.
    most : by name of a limit, (fish,), how often each fish may be used this season; NO_LIMIT where it does not bind.
    ruled_out : by name of a limit, (dams, sires), the pairs that it forbids.
    least : (fish,), how often each fish must be used.
    living : None if the young are judged on their own.
    price : G, what a unit of mean kinship of the pairs is worth in units of group coancestry.
    fixed : pairs made already or locked, as positions (dam, sire); they are part of every plan.
    sizes : by fixed pair, its planned young for each one of a family that is free to choose; 1 if not given.
    fewest_dams, fewest_sires : how many different fish must be used at least.
    in_all : by name of a limit, how many crosses there is room for, those in `fixed` included.
    scheme : how many mates each fish that is used must have; None if that is free.
    """

    dams: tuple[str, ...]
    sires: tuple[str, ...]
    kinship: Floats
    crosses: int
    most: Mapping[str, Whole] = field(default_factory=dict)
    ruled_out: Mapping[str, Truths] = field(default_factory=dict)
    least: Whole | None = None
    living: LivingShare | None = None
    price: float = 0.0
    fixed: tuple[tuple[int, int], ...] = ()
    sizes: Mapping[tuple[int, int], float] = field(default_factory=dict)
    fewest_dams: int = 0
    fewest_sires: int = 0
    in_all: Mapping[str, int] = field(default_factory=dict)
    scheme: Scheme | None = None

    def __post_init__(self) -> None:
        _check_fish(self.dams, self.sires)
        _check_numbers(self)
        _check_shapes(self)

    @property
    def fish(self) -> tuple[str, ...]:
        """All candidates, dams first."""
        return self.dams + self.sires

    @property
    def sides(self) -> tuple[slice, slice]:
        """Where the dams and where the sires stand in an array over fish."""
        return slice(0, len(self.dams)), slice(len(self.dams), None)

    @property
    def free(self) -> int:
        """Crosses that are still to be chosen."""
        return self.crosses - len(self.fixed)

    @cached_property
    def total(self) -> float:
        """The young of the season, in families of the size that those free to choose have."""
        return self.crosses + sum(size - 1 for size in self.planned.values())

    @cached_property
    def planned(self) -> Mapping[tuple[int, int], float]:
        """Planned sizes of the fixed pairs that have one; sizes given of other pairs are left aside."""
        return {pair: self.sizes[pair] for pair in self.fixed if pair in self.sizes}

    @cached_property
    def between(self) -> Floats:
        """Kinship of each dam with each sire, (dams, sires)."""
        return np.ascontiguousarray(self.kinship[: len(self.dams), len(self.dams) :])

    @cached_property
    def fixed_uses(self) -> Whole:
        """How often each fish stands in the fixed pairs, (fish,)."""
        return uses_of(self, self.fixed)

    @cached_property
    def allowed(self) -> Truths:
        """Pairs that may still be chosen, (dams, sires)."""
        allowed = np.ones((len(self.dams), len(self.sires)), dtype=bool)
        for pairs in self.ruled_out.values():
            allowed &= ~pairs
        for dam, sire in self.fixed:
            allowed[dam, sire] = False
        return allowed

    @cached_property
    def caps(self) -> Mapping[str, Whole]:
        """All limits on how often each fish may be used this season, the scheme among them, by name, each (fish,)."""
        return dict(self.most) if self.scheme is None else {**self.most, SCHEME: self.mates}

    @cached_property
    def mates(self) -> Whole:
        """How many mates each fish must have if it is used, (fish,); 1 where that is free."""
        of_dam, of_sire = (self.scheme.mates_of_dam, self.scheme.mates_of_sire) if self.scheme else (1, 1)
        return np.repeat([of_dam, of_sire], [len(self.dams), len(self.sires)])

    @cached_property
    def capacity(self) -> Whole:
        """How often each fish may still be used, by the least of its limits, (fish,); NO_LIMIT without any."""
        capacity = np.full(len(self.fish), NO_LIMIT, dtype=np.int64)
        for most in self.caps.values():
            capacity = np.minimum(capacity, most)
        left = np.maximum(capacity - self.fixed_uses, 0)
        return np.where(capacity >= NO_LIMIT, NO_LIMIT, left)

    @cached_property
    def room(self) -> Whole:
        """How often each fish can still be used: capacity, allowed mates and open crosses taken together, (fish,)."""
        mates = np.concatenate([self.allowed.sum(axis=1), self.allowed.sum(axis=0)])
        room = np.minimum(np.minimum(self.capacity, mates), self.free)
        # Under a scheme a fish has all of its mates or none.
        return room if self.scheme is None else np.where(room < self.mates - self.fixed_uses, 0, room)

    @cached_property
    def needed(self) -> Whole:
        """How often each fish must still be used, (fish,)."""
        least = np.zeros(len(self.fish), dtype=np.int64) if self.least is None else self.least
        if self.scheme is not None:
            least = np.where((least > 0) | ~self.fresh, np.maximum(least, self.mates), 0)
        return np.maximum(least - self.fixed_uses, 0)

    @cached_property
    def fresh(self) -> Truths:
        """Which fish stand in no fixed pair, (fish,)."""
        return self.fixed_uses == 0

    @cached_property
    def new_fish(self) -> tuple[int, int]:
        """How many dams and sires that stand in no fixed pair must be used at least."""
        dams, sires = (int((~self.fresh[side]).sum()) for side in self.sides)
        return max(0, self.fewest_dams - dams), max(0, self.fewest_sires - sires)


def uses_of(problem: Problem, pairs: Sequence[tuple[int, int]]) -> Whole:
    """How often each fish stands in pairs of positions (dam, sire), (fish,)."""
    uses = np.zeros(len(problem.fish), dtype=np.int64)
    for dam, sire in pairs:
        uses[dam] += 1
        uses[len(problem.dams) + sire] += 1
    return uses


def _check_fish(dams: Sequence[str], sires: Sequence[str]) -> None:
    if not dams or not sires:
        raise ValueError(f"There are {len(dams)} dams and {len(sires)} sires; a cross needs one of each.")
    for sex, fish in (("dams", dams), ("sires", sires)):
        if list(fish) != sorted(set(fish)):
            raise ValueError(f"The {sex} must be sorted and named once each.")
    both = sorted(set(dams) & set(sires))
    if both:
        raise ValueError(f"Fish {', '.join(both)} stands among the dams and among the sires.")


def _check_numbers(problem: Problem) -> None:
    if problem.crosses < 1:
        raise ValueError(f"A plan of {problem.crosses} crosses is none; ask for 1 or more.")
    if len(set(problem.fixed)) > problem.crosses or len(set(problem.fixed)) < len(problem.fixed):
        raise ValueError(
            f"{len(problem.fixed)} crosses are fixed where {problem.crosses} are wanted; each pair can be made once."
        )
    if min(problem.fewest_dams, problem.fewest_sires) < 0:
        raise ValueError("The least number of dams and of sires must be 0 or more.")
    if problem.scheme and min(problem.scheme.mates_of_dam, problem.scheme.mates_of_sire) < 1:
        raise ValueError("In a scheme each dam and each sire has 1 mate or more.")
    if not np.isfinite(problem.price) or problem.price < 0:
        raise ValueError(f"The price of inbreeding is {problem.price}; give 0 or more.")
    if problem.living is not None and not 0 < problem.living.weight_of_young <= 1:
        raise ValueError(f"The weight of the young is {problem.living.weight_of_young}; it must be above 0, at most 1.")


def _check_shapes(problem: Problem) -> None:
    fish, grid = (len(problem.fish),), (len(problem.dams), len(problem.sires))
    expected: dict[str, tuple[npt.NDArray[Any], tuple[int, ...]]] = {"kinship": (problem.kinship, fish * 2)}
    expected |= {f"limit {name}": (most, fish) for name, most in problem.most.items()}
    expected |= {f"limit {name}": (pairs, grid) for name, pairs in problem.ruled_out.items()}
    if problem.least is not None:
        expected["least uses"] = (problem.least, fish)
    if problem.living is not None:
        expected["mean kinship with the living"] = (problem.living.mean_kinship, fish)
    wrong = [size for size in problem.sizes.values() if not 0 < size < np.inf]
    if wrong:
        raise ValueError(f"A family has the size {wrong[0]}; give a figure above 0.")
    for name, (array, shape) in expected.items():
        if array.shape != shape:
            raise ValueError(f"The {name} has shape {array.shape}; {shape} was expected.")
    if not np.all(np.isfinite(problem.kinship)) or not np.array_equal(problem.kinship, problem.kinship.T):
        raise ValueError("The kinship among the candidates must be finite and symmetric.")
