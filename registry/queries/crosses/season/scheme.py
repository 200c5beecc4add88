"""The scheme of a plan as the search for the best plan takes it, and the fish chosen for a full factorial."""

from collections.abc import Iterable
from dataclasses import dataclass

from breeding.planning.problem import Scheme
from registry.queries.crosses.candidates import FEMALE, MALE
from registry.rules.crossing.wishes import CHOSEN, TermsSet, Wishes

FULL_FACTORIAL = "full_factorial"


@dataclass(frozen=True, slots=True)
class Chosen:
    """How many females and males the geneticist chose."""

    dams: int = 0
    sires: int = 0

    def sexes_of_factorial(self, terms: TermsSet) -> frozenset[str]:
        """Return the sexes of which none but chosen fish are crossed."""
        if terms.scheme != FULL_FACTORIAL:
            return frozenset()
        return frozenset(sex for sex, count in ((FEMALE, self.dams), (MALE, self.sires)) if count)

    def factorial(self, crosses: int) -> tuple[int, int] | None:
        """Return how many females meet how many males; of a sex of which nobody is chosen, as the crosses allow."""
        if not self.dams and not self.sires:
            return None
        return self.dams or max(1, crosses // self.sires), self.sires or max(1, crosses // self.dams)


def chosen_in(wishes: Wishes, fish: Iterable[tuple[str, str]]) -> Chosen:
    """Return how many of each sex are chosen; `fish`: number and sex of those that were looked at."""
    chosen = {number for number, word in wishes.fish.items() if word.stand == CHOSEN}
    sexes = [sex for number, sex in fish if number in chosen]
    return Chosen(sexes.count(FEMALE), sexes.count(MALE))


def crosses_of(terms: TermsSet, chosen: Chosen) -> int:
    """Return how many crosses are wanted: in a full factorial of chosen fish as many as these make."""
    factorial = chosen.factorial(terms.crosses) if terms.scheme == FULL_FACTORIAL else None
    return factorial[0] * factorial[1] if factorial else terms.crosses


def scheme_of(terms: TermsSet, candidates: tuple[int, int], chosen: Chosen) -> Scheme | None:
    """Return how many mates each fish has by the scheme, None where that is free.

    Where every female chosen meets every male chosen and nobody is chosen yet, so many of each are taken that their
    numbers are as near to each other as the crosses wanted and the candidates allow.
    """
    mates = terms.mates or 1
    if terms.scheme == FULL_FACTORIAL:
        factorial = chosen.factorial(terms.crosses)
        return Scheme(factorial[1], factorial[0]) if factorial else Scheme(*_square(terms.crosses, *candidates))
    of_dam_and_sire = {"single_pair": (1, 1), "nested": (mates, 1), "partial_factorial": (mates, mates)}
    found = of_dam_and_sire.get(terms.scheme)
    return Scheme(*found) if found else None


def told_of_choice(terms: TermsSet, chosen: Chosen) -> list[str]:
    """Return what a person should know of a full factorial: who is crossed, and how to choose."""
    if terms.scheme != FULL_FACTORIAL:
        return []
    factorial = chosen.factorial(terms.crosses)
    if factorial is None:
        return [
            f"Full factorial, and nobody is chosen: the search takes the fish that make {terms.crosses} crosses. "
            "To cross fish of your own choice, choose them on the page “Fish”."
        ]
    dams, sires = factorial
    count = dams * sires
    told = f"Full factorial: {dams} female{'s' * (dams > 1)} × {sires} male{'s' * (sires > 1)} make {count} crosses"
    if count != terms.crosses:
        told += f"; the terms ask for {terms.crosses}"
    missing = "females" if not chosen.dams else "males" if not chosen.sires else ""
    return [f"{told}. No {missing} are chosen: the search takes them." if missing else f"{told}, all of fish chosen."]


def _square(crosses: int, dams: int, sires: int) -> tuple[int, int]:
    """Return the males that each female meets, and the females that each male meets."""
    splits = [(crosses // used, used) for used in range(1, crosses + 1) if crosses % used == 0]
    # Splits that ask for more fish than there are come last: then what is missing can be told.
    return min(splits, key=lambda split: (split[1] > dams or split[0] > sires, abs(split[0] - split[1]), split))
