"""How many generations in captivity lie behind a fish, as far as its parents are known.

A fish taken from the wild is of generation 0. Young are one more than the parent with fewer: of first generation (F1)
while one parent at least was taken from the wild, of second or later when both were born in captivity. From memory:
CITES, Res. Conf. 10.16 (Rev.), definitions of first and of second and subsequent generation.
"""

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass

# At least how many generations, and at most; None: nobody knows how many more.
_BASE = {"wild": (0, 0), "hatchery": (1, None), "captive": (1, None), "unknown": (0, None)}
ParentKeys = tuple[Hashable | None, Hashable | None]


@dataclass(frozen=True, slots=True)
class Generations:
    """From how many to how many generations in captivity; `most` is None where no one can say."""

    least: int
    most: int | None

    def __str__(self) -> str:
        if self.most is None:
            return f"{self.least} or more" if self.least else "not known"
        return str(self.least) if self.least == self.most else f"{self.least} to {self.most}"


_UNKNOWN = Generations(0, None)


def generations(
    parents: Mapping[Hashable, Iterable[ParentKeys]], origins: Mapping[Hashable, str]
) -> dict[Hashable, Generations]:
    """Return the generations of every fish named in either; a fish without parents counts by its origin.

    `parents` holds every possible pair of each fish. No fish may be its own ancestor.
    """
    found = {fish: Generations(*_BASE[origin]) for fish, origin in origins.items() if fish not in parents}
    waiting = {fish: list(pairs) for fish, pairs in parents.items()}
    while waiting:
        ready = [fish for fish, pairs in waiting.items() if not any(p in waiting for pair in pairs for p in pair)]
        if not ready:
            raise ValueError(f"{next(iter(waiting))} is its own ancestor.")
        for fish in ready:
            found[fish] = spread(_of_pair(pair, found) for pair in waiting.pop(fish))
    return found


def spread(several: Iterable[Generations]) -> Generations:
    """Return what holds for all of several: from the least to the most."""
    listed = list(several)
    if not listed:
        return _UNKNOWN
    most = [one.most for one in listed if one.most is not None]
    return Generations(min(one.least for one in listed), max(most) if len(most) == len(listed) else None)


def _of_pair(pair: ParentKeys, known: Mapping[Hashable, Generations]) -> Generations:
    both = [known.get(parent, _UNKNOWN) if parent is not None else _UNKNOWN for parent in pair]
    most = [one.most for one in both if one.most is not None]
    return Generations(1 + min(one.least for one in both), 1 + min(most) if most else None)
