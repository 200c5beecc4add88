"""How close two fish may be where parentage is in doubt: the mean alone would hide a verdict that hangs on it."""

from collections.abc import Iterable
from dataclasses import dataclass

from breeding.genetics.kinship import kinship_range
from breeding.planning.limits import KINSHIP_TOLERANCE
from registry.queries.catalogue import Inherits
from registry.queries.crosses.pairs import TWO_COPIES
from registry.queries.pedigree import pedigree_of

MOST_ASSIGNMENTS = 256

Keys = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Doubt:
    """Least and greatest kinship over all possible parents; None where there are too many ways to count them."""

    bounds: tuple[float, float] | None

    def decides(self, limit: float | None) -> bool:
        """Return whether the pair is below the limit with some of the possible parents and not with others."""
        if limit is None or self.bounds is None:
            return False
        least, most = self.bounds
        return least < limit - KINSHIP_TOLERANCE <= most


def doubts_of(
    pairs: Iterable[Keys], inherits: Inherits = TWO_COPIES, most: int = MOST_ASSIGNMENTS
) -> dict[Keys, Doubt]:
    """Return how far the kinship of pairs (keys) may lie from its mean; pairs without such a doubt are left out.

    One pedigree for all of them. `most`: more ways to assign parents than this are not counted.
    """
    wanted = list(dict.fromkeys(pairs))
    if not wanted:
        return {}
    pedigree = pedigree_of({key for pair in wanted for key in pair}, *inherits)
    if pedigree.families.certain:
        return {}
    found = {}
    for pair in wanted:
        bounds = kinship_range(pedigree, *pair, most=most)
        if bounds is None or bounds[1] - bounds[0] > KINSHIP_TOLERANCE:
            found[pair] = Doubt(bounds)
    return found
