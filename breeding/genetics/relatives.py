"""How close common relatives are, and how inbred their young, for any inheritance: what figures are compared with."""

from functools import cache
from typing import NamedTuple

from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_between
from breeding.genetics.pedigree import ParentRow, build_pedigree


class Relatives(NamedTuple):
    """A pair of non-inbred relatives: their kinship, and the inbreeding of their young."""

    words: str
    kinship: float
    inbreeding_of_young: float


# P and Q are full sibs, H the half sib of both; A, B and C their young by unrelated mates; S, D, O and those founders.
_ROWS = [
    *(ParentRow(sib, "S", "D") for sib in "PQ"),
    ParentRow("H", "S", "O"),
    *(ParentRow(young, parent, f"mate of {parent}") for young, parent in (("A", "P"), ("B", "Q"), ("C", "H"))),
]
_PAIRS = {"half first cousins": "AC", "first cousins": "AB", "half sibs": "PH", "full sibs": "PQ"}


@cache
def relatives(ploidy: int = 2, double_reduction: float = 0.0) -> tuple[Relatives, ...]:
    """Return relatives from the most distant on.

    Examples
    --------
    >>> [(one.words, one.kinship, one.inbreeding_of_young) for one in relatives()[1:]]
    [('first cousins', 0.0625, 0.0625), ('half sibs', 0.125, 0.125), ('full sibs', 0.25, 0.25)]
    """
    young = [ParentRow(words, *pair) for words, pair in _PAIRS.items()]
    pedigree = build_pedigree([*_ROWS, *young], ploidy=ploidy, double_reduction=double_reduction)
    every_f = inbreeding(pedigree)[pedigree.positions(_PAIRS)]
    return tuple(
        Relatives(words, kinship_between(pedigree, *pair), float(f))
        for (words, pair), f in zip(_PAIRS.items(), every_f, strict=True)
    )
