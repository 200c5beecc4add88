"""The scheme of a plan as the search for the best plan takes it."""

from breeding.planning.problem import Scheme
from registry.rules.crossing.wishes import TermsSet


def scheme_of(terms: TermsSet, dams: int, sires: int) -> Scheme | None:
    """Return how many mates each fish has by the scheme, None where that is free.

    Where every female chosen meets every male chosen, so many of each are chosen that their numbers are as near to each
    other as the crosses wanted and the candidates allow.
    """
    mates = terms.mates or 1
    if terms.scheme == "full_factorial":
        return Scheme(*_square(terms.crosses, dams, sires))
    of_dam_and_sire = {"single_pair": (1, 1), "nested": (mates, 1), "partial_factorial": (mates, mates)}
    found = of_dam_and_sire.get(terms.scheme)
    return Scheme(*found) if found else None


def _square(crosses: int, dams: int, sires: int) -> tuple[int, int]:
    """Return the males that each female meets, and the females that each male meets."""
    splits = [(crosses // used, used) for used in range(1, crosses + 1) if crosses % used == 0]
    # Splits that ask for more fish than there are come last: then what is missing can be told.
    return min(splits, key=lambda split: (split[1] > dams or split[0] > sires, abs(split[0] - split[1]), split))
