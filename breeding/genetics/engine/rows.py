"""From parent rows, as a register or a file has them, to families."""

from collections.abc import Hashable, Iterable, Sequence
from math import fsum
from typing import NamedTuple

import numpy as np

from breeding.genetics.engine.families import Families
from breeding.genetics.errors import DrawError, InheritanceError, ProbabilityError

TOLERANCE = 1e-9


class ParentRow(NamedTuple):
    """One possible pair of parents of one fish; several rows of a fish make a distribution.

    Attributes
    ----------
    fish, dam, sire
        Names, any hashable; None for an unknown parent.
    probability
        In (0, 1]; the rows of a fish add up to 1, the rest is an unknown parent (both, if both vary).
    draw
        Fish with the same draw have one and the same pair of parents, whichever it is; None: each fish its own draw.
    copies
        Gene copies in the gamete of dam and sire; None: half the ploidy each.
    double_reduction
        Of dam and sire; None: the default of the pedigree.
    """

    fish: Hashable
    dam: Hashable | None = None
    sire: Hashable | None = None
    probability: float = 1.0
    draw: Hashable | None = None
    copies: tuple[int, int] | None = None
    double_reduction: tuple[float, float] | None = None


class Inheritance(NamedTuple):
    """What rows inherit when they do not say: gene copies and double reduction of both gametes."""

    copies: tuple[int, int] = (1, 1)
    double_reduction: tuple[float, float] = (0.0, 0.0)


class Collected(NamedTuple):
    """Fish, in the order of their first row and then of mention as a parent, and their families."""

    ids: tuple[Hashable, ...]
    family: np.ndarray
    families: Families
    own_rows: int


_Pairs = tuple[tuple[int, int, float], ...]
_Parentage = tuple[_Pairs, tuple[int, int], tuple[float, float]]
_Key = tuple[_Pairs, tuple[int, int], tuple[float, float], Hashable | None]
_Index = dict[Hashable | None, int]
_Draws = dict[Hashable, tuple[_Parentage, Hashable]]


def collect(rows: Iterable[ParentRow], default: Inheritance) -> Collected:
    """Group rows by fish and fish by parentage.

    Raises
    ------
    ProbabilityError, DrawError, InheritanceError
        With the fish concerned.
    """
    single: dict[Hashable, ParentRow] = {}
    several: dict[Hashable, list[ParentRow]] = {}
    for row in rows:
        if row.fish in single:
            several.setdefault(row.fish, [single[row.fish]]).append(row)
        else:
            single[row.fish] = row
    index: _Index = {fish: number for number, fish in enumerate(single)}
    for group in _groups(single, several):
        for row in group:
            for parent in (row.dam, row.sire):
                if parent is not None:
                    index.setdefault(parent, len(index))
    index[None] = len(index)
    family, numbers = _number_families(single, several, index, default)
    unknown = index.pop(None)
    implied = unknown - len(family)
    if implied:
        founder = (((unknown, unknown, 1.0),), *default, None)
        family += [numbers.setdefault(founder, len(numbers))] * implied
    return Collected(tuple(index), np.array(family, dtype=int), _families(numbers), unknown - implied)


def _groups(
    single: dict[Hashable, ParentRow], several: dict[Hashable, list[ParentRow]]
) -> Iterable[Sequence[ParentRow]]:
    return (several.get(fish) or (row,) for fish, row in single.items())


def _number_families(
    single: dict[Hashable, ParentRow], several: dict[Hashable, list[ParentRow]], index: _Index, default: Inheritance
) -> tuple[list[int], dict[_Key, int]]:
    """Family of each fish, and the families by number."""
    numbers: dict[_Key, int] = {}
    draws: _Draws = {}
    family = []
    told: dict[tuple[object, ...], int] = {}
    for group in _groups(single, several):
        # Sibs with one row each differ by name only, so their parentage is worked out once.
        same = group[0][1:] if len(group) == 1 else None
        number = None if same is None else told.get(same)
        if number is None:
            number = numbers.setdefault(_key(group, index, default, draws), len(numbers))
            if same is not None:
                told[same] = number
        family.append(number)
    return family, numbers


def _key(group: Sequence[ParentRow], index: _Index, default: Inheritance, draws: _Draws) -> _Key:
    row = group[0]
    copies, reduction = _inheritance(group, default)
    if len(group) == 1 and row.probability == 1:
        pairs: _Pairs = ((index[row.dam], index[row.sire], 1.0),)
    else:
        pairs = _distribution(group, index)
    if row.draw is None and len(group) == 1:
        return pairs, copies, reduction, None
    return pairs, copies, reduction, _checked_draw(group, (pairs, copies, reduction), draws)


def _inheritance(group: Sequence[ParentRow], default: Inheritance) -> tuple[tuple[int, int], tuple[float, float]]:
    first = group[0]
    if first.copies is None and first.double_reduction is None and len(group) == 1:
        return default
    copies = first.copies or default.copies
    reduction = default.double_reduction if first.double_reduction is None else first.double_reduction
    for row in group[1:]:
        if (row.copies or default.copies) != copies or row.double_reduction not in (first.double_reduction, reduction):
            raise InheritanceError(
                f"The rows of {first.fish} disagree on gene copies or double reduction. Give the same in all of them.",
                [first.fish],
            )
    if min(copies) < 0 or sum(copies) < 2:
        raise InheritanceError(
            f"{first.fish} would have {copies[0]} + {copies[1]} gene copies. It needs two or more in all, none "
            "negative.",
            [first.fish],
        )
    if not all(0 <= share <= 1 for share in reduction):
        raise InheritanceError(
            f"Double reduction of {first.fish} is {reduction[0]:g} and {reduction[1]:g}. It must lie from 0 to 1.",
            [first.fish],
        )
    return copies, (reduction[0] if copies[0] > 1 else 0.0, reduction[1] if copies[1] > 1 else 0.0)


def _distribution(group: Sequence[ParentRow], index: _Index) -> _Pairs:
    """Possible pairs with probabilities that add up to 1, in an order that does not depend on that of the rows."""
    fish = group[0].fish
    chances: dict[tuple[int, int], float] = {}
    for row in group:
        if not 0 < row.probability <= 1:
            raise ProbabilityError(
                f"A parentage of {fish} has probability {row.probability:g}. It must be above 0 and at most 1.", [fish]
            )
        pair = index[row.dam], index[row.sire]
        chances[pair] = chances.get(pair, 0.0) + row.probability
    total = fsum(row.probability for row in group)
    if total > 1 + TOLERANCE:
        raise ProbabilityError(
            f"The parentage probabilities of {fish} add up to {total:.10g}, more than 1. Correct them or remove a "
            "pair.",
            [fish],
        )
    if total < 1 - TOLERANCE:
        rest = _common(chances, 0, index[None]), _common(chances, 1, index[None])
        chances[rest] = chances.get(rest, 0.0) + 1 - total
    else:
        chances = {pair: chance / total for pair, chance in chances.items()}
    return tuple((dam, sire, chances[dam, sire]) for dam, sire in sorted(chances))


def _common(chances: dict[tuple[int, int], float], side: int, unknown: int) -> int:
    """The parent that all pairs have on one side; unknown if they vary, or if one row leaves both to vary."""
    parents = {pair[side] for pair in chances}
    return parents.pop() if len(parents) == 1 and len(chances) > 1 else unknown


def _checked_draw(group: Sequence[ParentRow], parentage: _Parentage, draws: _Draws) -> Hashable | None:
    names = {row.draw for row in group}
    fish = group[0].fish
    if len(names) > 1:
        raise DrawError(f"The rows of {fish} name different draws. Give the same draw in all of them.", [fish])
    draw = names.pop()
    if draw is None:
        return None
    known, other = draws.setdefault(draw, (parentage, fish))
    if known != parentage:
        raise DrawError(
            f"{fish} and {other} share the draw {draw} but do not list the same pairs, probabilities, copies and "
            "double reduction. Make them the same, or give them different draws.",
            [other, fish],
        )
    return draw


def _families(numbers: dict[_Key, int]) -> Families:
    pairs = [pair for key in numbers for pair in key[0]]
    columns = np.array(pairs, dtype=float).reshape(-1, 3)
    return Families(
        first=np.concatenate([[0], np.cumsum([len(key[0]) for key in numbers], dtype=int)]),
        dam=columns[:, 0].astype(int),
        sire=columns[:, 1].astype(int),
        probability=columns[:, 2].copy(),
        copies=np.array([key[1] for key in numbers], dtype=int).reshape(-1, 2),
        double_reduction=np.array([key[2] for key in numbers], dtype=float).reshape(-1, 2),
        shared=np.array([key[3] is not None for key in numbers], dtype=bool),
    )
