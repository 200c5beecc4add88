"""What a pedigree picture is given, and how it falls into rows and sibships."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

LARGEST_CHART = 150
YOUNG_SHOWN = 8


@dataclass(frozen=True)
class ChartFish:
    """One symbol: a fish, or `count` sibs drawn as one. `sex` is F, M or empty; `note` is a second, quiet line."""

    key: str
    label: str
    sex: str = ""
    dead: bool = False
    founder: bool = False
    note: str = ""
    href: str = ""
    count: int = 1


@dataclass(frozen=True)
class ChartPair:
    """A possible pair of parents of `child`. None is an unknown parent; `related` asks for the double line."""

    child: str
    dam: str | None
    sire: str | None
    probability: float = 1.0
    related: bool = False

    @property
    def parents(self) -> tuple[str, ...]:
        """The known parents, sire first: he stands on the left."""
        return tuple(parent for parent in (self.sire, self.dam) if parent is not None)

    @property
    def couple(self) -> bool:
        """Whether both parents are known."""
        return self.dam is not None and self.sire is not None


@dataclass(frozen=True)
class Origin:
    """One possible pair of parents of a sibship."""

    parents: tuple[str, ...]
    probability: float
    related: bool


@dataclass(frozen=True)
class Sibship:
    """Fish of one row that have the same possible parents with the same probabilities."""

    young: tuple[str, ...]
    origins: tuple[Origin, ...]


def checked(fish: Sequence[ChartFish], pairs: Sequence[ChartPair], focus: str) -> None:
    """Refuses what cannot be drawn, with the reason."""
    keys = [one.key for one in fish]
    known = set(keys)
    if len(known) < len(keys):
        twice = sorted(key for key in known if keys.count(key) > 1)
        raise ValueError(f"Fish {', '.join(twice)} given more than once; a fish is drawn once.")
    if len(keys) > LARGEST_CHART:
        raise ValueError(
            f"{len(keys)} fish are too many for one pedigree picture (limit {LARGEST_CHART}). "
            "Show them as a list instead."
        )
    if focus not in known:
        raise ValueError(f"The fish {focus} in the middle is not among the fish to draw.")
    for pair in pairs:
        missing = [key for key in (pair.child, *pair.parents) if key not in known]
        if missing:
            raise ValueError(f"Fish {', '.join(missing)} named in a pair is not among the fish to draw.")
        if pair.couple and pair.dam == pair.sire:
            raise ValueError(f"Fish {pair.dam} is named as both dam and sire of {pair.child}.")
        if not 0 < pair.probability <= 1:
            raise ValueError(f"The parents of {pair.child} have probability {pair.probability}; it must be in (0, 1].")


def with_few_young(
    fish: Sequence[ChartFish], pairs: Sequence[ChartPair], focus: str
) -> tuple[list[ChartFish], list[ChartPair], int]:
    """Keeps the first few young of the fish in the middle; also says how many were left out."""
    young = list(dict.fromkeys(pair.child for pair in pairs if focus in pair.parents))
    gone = set(young[YOUNG_SHOWN:])
    if not gone:
        return list(fish), list(pairs), 0
    left_out = sum(one.count for one in fish if one.key in gone)
    kept = [pair for pair in pairs if pair.child not in gone]
    needed = {focus} | {key for pair in kept for key in (pair.child, *pair.parents)}
    # A mate or grandchild that only hung on a hidden young fish would float; it goes too.
    shown = [one for one in fish if one.key in needed and one.key not in gone]
    return shown, [pair for pair in kept if not gone & set(pair.parents)], left_out


def generations(keys: Iterable[str], pairs: Sequence[ChartPair]) -> dict[str, int]:
    """Row of every fish, 0 at the top. Refuses loops by name.

    A fish without young stands right below its lowest parent, every other one right above its highest young: so mates
    with unequally known ancestry stand side by side.
    """
    parents: dict[str, set[str]] = {key: set() for key in keys}
    young: dict[str, set[str]] = {key: set() for key in parents}
    for pair in pairs:
        for parent in pair.parents:
            parents[pair.child].add(parent)
            young[parent].add(pair.child)
    depths: dict[str, int] = {}
    for key in parents:
        _depth(key, parents, depths, ())
    rows: dict[str, int] = {}
    for key in sorted(depths, key=lambda key: -depths[key]):
        rows[key] = min((rows[child] - 1 for child in young[key]), default=depths[key])
    return rows


def _depth(key: str, parents: dict[str, set[str]], depths: dict[str, int], path: tuple[str, ...]) -> int:
    if key in path:
        loop = " → ".join((*path[path.index(key) :], key))
        raise ValueError(f"These fish are their own ancestors: {loop}. Correct the parentage first.")
    if key not in depths:
        above = (_depth(parent, parents, depths, (*path, key)) for parent in sorted(parents[key]))
        depths[key] = 1 + max(above, default=-1)
    return depths[key]


def sibships(pairs: Sequence[ChartPair], rows: dict[str, int]) -> list[Sibship]:
    """Young grouped by row and by their possible parents."""
    related = related_pairs(pairs)
    origins: dict[str, list[Origin]] = {}
    couples: dict[frozenset[str], tuple[str, ...]] = {}
    for pair in pairs:
        if pair.parents:
            # Fish of unknown sex may stand as dam in one pair and as sire in another: one couple all the same.
            parents = couples.setdefault(frozenset(pair.parents), pair.parents)
            double = pair.related or pair.parents in related
            origins.setdefault(pair.child, []).append(Origin(parents, pair.probability, double))
    groups: dict[tuple[int, tuple[Origin, ...]], list[str]] = {}
    for child, possible in origins.items():
        groups.setdefault((rows[child], tuple(sorted(possible, key=lambda one: one.parents))), []).append(child)
    return [Sibship(tuple(young), possible) for (_, possible), young in groups.items()]


def related_pairs(pairs: Sequence[ChartPair]) -> set[tuple[str, ...]]:
    """Pairs that share an ancestor within the picture, or of which one is the other's ancestor."""
    parents: dict[str, set[str]] = {}
    for pair in pairs:
        parents.setdefault(pair.child, set()).update(pair.parents)

    @cache
    def line_of(key: str) -> set[str]:
        return {key}.union(*(line_of(parent) for parent in parents.get(key, ())))

    lines = {key: line_of(key) for pair in pairs for key in pair.parents}
    couples = {pair.parents for pair in pairs if pair.couple}
    return {couple for couple in couples if set.intersection(*(lines[parent] for parent in couple))}
