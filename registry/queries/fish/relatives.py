"""Who is around a fish in the pedigree: ancestors three generations up, young down; a fixed number of queries."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Q, QuerySet

from registry.models import FishDetails, Parentage, ParentPair

GENERATIONS, YOUNG = 3, 8
# More possible ancestors than this are not drawn: the next generation up is left out.
MOST_ANCESTORS, MOST_DRAWN = 90, 140


@dataclass(frozen=True, slots=True)
class Relative:
    """One fish of the picture."""

    number: str
    sex: str
    left: str
    founder: bool


@dataclass(frozen=True, slots=True)
class Link:
    """One possible pair of parents, by keys, with its probability, evidence and journal entry."""

    child: int
    dam: int | None
    sire: int | None
    probability: float
    basis: str
    seq: int


@dataclass
class Relatives:
    """Fish by key and the links between them; `young` counts all, of which the first few are among the fish."""

    focus: int
    fish: dict[int, Relative] = field(default_factory=dict)
    links: list[Link] = field(default_factory=list)
    young: int = 0
    shown: list[int] = field(default_factory=list)
    cut: bool = False


def relatives(fish: int) -> Relatives:
    """Return the relatives of the fish of that key."""
    found = Relatives(fish)
    keys = {fish}
    layer = {fish}
    for _ in range(GENERATIONS):
        links = links_of(layer)
        above = {parent for link in links for parent in (link.dam, link.sire) if parent}
        if len(keys | above) > MOST_ANCESTORS:
            found.cut = True
            break
        found.links += links
        layer = above - keys
        keys |= above
    _load_young(found, keys)
    _load_faces(found, keys)
    return found


def _load_young(found: Relatives, keys: set[int]) -> None:
    """Add the first young with all their possible parents, as long as the picture has room for them."""
    rows = young_of(found.focus)
    found.young = rows.count()
    first = list(rows.order_by("fish__number").values_list("fish_id", flat=True)[:YOUNG])
    links = links_of(first)
    for child in first:
        own = [link for link in links if link.child == child]
        wanted = {child} | {parent for link in own for parent in (link.dam, link.sire) if parent}
        if len(keys | wanted) > MOST_DRAWN:
            return
        keys |= wanted
        found.links += own
        found.shown.append(child)


def young_of(fish: int) -> QuerySet:
    """Return the current details of every fish that may be a child of the fish of that key."""
    parentages = ParentPair.objects.current().filter(Q(dam=fish) | Q(sire=fish)).values("parentage")
    return FishDetails.objects.current().filter(parentage__in=parentages)


def links_of(fish: Iterable[int]) -> list[Link]:
    """Return the possible parents of each fish that has any, likeliest first."""
    details = FishDetails.objects.current().filter(fish__in=list(fish), parentage__pairs__withdrawn__isnull=True)
    details = details.exclude(parentage=None)
    pair = "parentage__pairs__"
    rows = details.values_list(
        "fish_id", f"{pair}dam", f"{pair}sire", f"{pair}probability", "parentage__basis", "parentage__entry_id"
    ).order_by("fish_id", f"-{pair}probability", f"{pair}pk")
    return [
        Link(child, dam, sire, float(probability), Parentage.Basis(basis).label, seq)
        for child, dam, sire, probability, basis, seq in rows
    ]


def _load_faces(found: Relatives, keys: set[int]) -> None:
    rows = FishDetails.objects.current().filter(fish__in=keys)
    for key, number, sex, left, parentage in rows.values_list("fish_id", "fish__number", "sex", "left", "parentage_id"):
        found.fish[key] = Relative(number, sex, left, parentage is None)
