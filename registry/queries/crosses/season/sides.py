"""The candidates of a season by sex, and the pairs that are in every plan."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from breeding.planning.problem import Whole
from registry.queries.crosses.candidates import FEMALE, MALE
from registry.queries.crosses.season.fish import Looked, Reason
from registry.queries.crosses.season.past import Keys, Made

# Beyond so many of one sex, those of the lowest mean kinship with the living stand for the others.
MOST_OF_A_SEX = 300
TOO_MANY = "too_many"

Pair = tuple[int, int]  # positions of dam and sire


@dataclass(frozen=True)
class Sides:
    """The candidates by sex, and the pairs made this season and locked among them, by positions (dam, sire).

    A fish with reasons against it is here for what is made or locked alone.
    """

    dams: Sequence[Looked]
    sires: Sequence[Looked]
    made: Sequence[Pair]
    locked: Sequence[Pair]

    @property
    def all(self) -> list[Looked]:
        """Return all fish in their order in arrays over fish."""
        return [*self.dams, *self.sires]

    @property
    def fixed(self) -> list[Pair]:
        """Return the pairs that are in every plan."""
        return [*self.made, *self.locked]

    def uses(self, pairs: Sequence[Pair]) -> Whole:
        """Return how often each fish stands in pairs, (fish,)."""
        uses = np.zeros(len(self.dams) + len(self.sires), dtype=np.int64)
        for dam, sire in pairs:
            uses[dam] += 1
            uses[len(self.dams) + sire] += 1
        return uses

    def numbers(self, pairs: Iterable[Pair]) -> tuple[tuple[str, str], ...]:
        """Return pairs by register number."""
        return tuple((self.dams[dam].candidate.number, self.sires[sire].candidate.number) for dam, sire in pairs)


def sides_of(kept: Sequence[Looked], made: Iterable[Made], locked: Iterable[Keys]) -> tuple[Sides, list[str]]:
    """Return the candidates by sex in order of their numbers, and sentences on what was left aside."""
    by_number = sorted(kept, key=lambda one: one.candidate.number)
    dams, sires = ([one for one in by_number if one.candidate.sex == sex] for sex in (FEMALE, MALE))
    rows, columns = ({one.candidate.key: place for place, one in enumerate(side)} for side in (dams, sires))
    listed, pairs = list(made), list(locked)
    of_made = [(rows[one.dam], columns[one.sire]) for one in listed if one.dam in rows and one.sire in columns]
    of_locked = [(rows[dam], columns[sire]) for dam, sire in pairs if dam in rows and sire in columns]
    sides = Sides(dams, sires, sorted(of_made), sorted(set(of_locked) - set(of_made)))
    return sides, _notes(sides, listed, len(listed) - len(of_made), len(pairs) - len(of_locked))


def _notes(sides: Sides, made: Sequence[Made], lost: int, unlocked: int) -> list[str]:
    notes = []
    pooled = sum(one.pooled for one in made)
    if pooled:
        notes.append(f"{pooled} of the crosses made had pooled milt: the male of the largest share stands for all.")
    if lost + unlocked:
        notes.append(f"{lost + unlocked} pairs made or locked are left aside: the sex on record of a fish has changed.")
    in_spite = {
        reason.words
        for dam, sire in sides.locked
        for one in (sides.dams[dam], sides.sires[sire])
        for reason in one.reasons
    }
    return [*notes, *(f"Locked in spite of this: {words}" for words in sorted(in_spite))]


def few_enough(kept: Sequence[Looked], mean: Mapping[int, float], asked: set[int]) -> tuple[list[Looked], list[Looked]]:
    """Return the candidates that are few enough to search among, and those that crowding leaves out.

    Parameters
    ----------
    mean
        Mean kinship of each with the living, by key.
    asked
        Keys of fish that stand in pairs made or locked: they stay.
    """

    def order(one: Looked) -> tuple[bool, float, str]:
        return one.candidate.key not in asked, mean[one.candidate.key], one.candidate.number

    first = sorted(kept, key=order)
    stay: list[Looked] = []
    out: list[Looked] = []
    for sex in (FEMALE, MALE):
        of_sex = [one for one in first if one.candidate.sex == sex]
        stay += of_sex[:MOST_OF_A_SEX]
        out += [_crowded_out(one) for one in of_sex[MOST_OF_A_SEX:]]
    return stay, out


def _crowded_out(one: Looked) -> Looked:
    others = f"{MOST_OF_A_SEX} others of its sex have a lower mean kinship"
    reason = Reason(TOO_MANY, f"{one.candidate.number}: {others}. Leave some of them out to make room.")
    return Looked(one.candidate, (*one.reasons, reason), one.fresh)
