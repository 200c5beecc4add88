"""Kinship in words and figures."""

from functools import cache
from typing import NamedTuple

from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_between
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.limits import KINSHIP_TOLERANCE

# Kinship of non-inbred diploid relatives; any textbook of quantitative genetics, e.g. Falconer & Mackay 1996,
# chapter 5 (coancestry), from memory. The pedigree may hold another relationship of the same kinship.
LEVELS = (
    (0.5, "a fish and itself"),
    (0.25, "full sibs or parent and offspring"),
    (0.125, "half sibs or grandparent and grandchild"),
    (0.0625, "first cousins"),
    (0.03125, "first cousins once removed"),
    (0.015625, "second cousins"),
)


def closeness(kinship: float) -> str:
    """How close two fish are, derived from their kinship alone."""
    if kinship <= KINSHIP_TOLERANCE:
        return "unrelated as far as the pedigree is known"
    closer = ""
    for level, relatives in LEVELS:
        if abs(kinship - level) <= KINSHIP_TOLERANCE:
            return f"as close as {relatives}"
        if kinship > level:
            than = f"closer than {relatives}"
            return f"{than}, though not as close as {closer}" if closer else than
        closer = relatives
    return f"less close than {closer}"


def figure(value: float, decimals: int = 4) -> str:
    """A share or kinship without the zeros at its end; what is there but too small to write is told as such."""
    smallest = 10.0**-decimals
    if 0 < abs(value) < smallest / 2:
        return f"less than {smallest:.{decimals}f}"
    return f"{value:.{decimals}f}".rstrip("0").rstrip(".")


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
    """How close common relatives are for any inheritance, and how inbred their young; the most distant first.

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
