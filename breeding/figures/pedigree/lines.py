"""The right-angled lines of a pedigree: from mates together, down, and out to their young.

Between two rows lie, from above: lanes for the lines that join mates who do not stand side by side, a strip for
written probabilities, and lanes for the lines that join sibs. No two lines of a band share a lane where they meet.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from breeding.figures.parts.lettering import text_width
from breeding.figures.parts.svg import SMALL_SIZE
from breeding.figures.pedigree.layout import Layout, Net

LANE, STRIP, MARGIN = 10.0, 16.0, 8.0
APART = 6.0
HAIR = 0.5  # places nearer than this are one place
STUB_INSET = 6.0  # from the edge of a fish's room to a line that goes down beside its words

Bottoms = tuple[str, ...]
Tops = tuple[str, ...]


@dataclass(frozen=True)
class Mating:
    """The line of one pair (or one known parent) in a gap: where it comes down, where its young hang."""

    tops: Tops
    direct: bool
    stems: tuple[float, ...]
    descents: tuple[tuple[Net, float], ...]

    @property
    def span(self) -> tuple[float, float]:
        """Leftmost and rightmost point of the line between stems and descents."""
        places = [*self.stems, *(x for _, x in self.descents)]
        return min(places), max(places)

    @property
    def straight(self) -> bool:
        """Whether one stem simply goes on down."""
        return self.span[1] - self.span[0] < HAIR

    @property
    def extent(self) -> tuple[float, float]:
        """Leftmost and rightmost point of lines and written probabilities."""
        left, right = self.span
        return left, max(right, *(x + _room_of_words(net) for net, x in self.descents))


@dataclass(frozen=True)
class Gap:
    """All lines between a row and the next, with the lane of every bar."""

    matings: list[Mating]
    mating_lanes: dict[Tops, int]
    sib_lanes: dict[Bottoms, int]
    written: bool

    @property
    def height(self) -> float:
        """Room that the lanes and the strip take."""
        return LANE * (_count(self.mating_lanes) + _count(self.sib_lanes)) + STRIP * self.written + 2 * MARGIN

    def mating_level(self, tops: Tops) -> float:
        """Distance of a pair's bar from the top of the gap."""
        return MARGIN + LANE * self.mating_lanes.get(tops, 0)

    def strip_level(self) -> float:
        """Distance of the baseline of written probabilities from the top of the gap."""
        return MARGIN + LANE * _count(self.mating_lanes) + STRIP - 5

    def sib_level(self, bottoms: Bottoms) -> float:
        """Distance of a sibship's bar from the top of the gap."""
        above = LANE * _count(self.mating_lanes) + STRIP * self.written
        return MARGIN + above + LANE * self.sib_lanes.get(bottoms, 0) + LANE / 2


def _count(lanes: dict[tuple[str, ...], int]) -> int:
    return max(lanes.values(), default=-1) + 1


@dataclass(frozen=True)
class _Taken:
    """Something that already goes down at a place: the room it needs on its left and right."""

    place: float
    left: float = APART
    right: float = APART


def _free(wish: float, right: float, span: tuple[float, float], taken: Iterable[_Taken]) -> float:
    """The place nearest to `wish`, better inside `span`, that keeps `right` free and every other its room."""
    rooms = [(one.place - max(one.left, right), one.place + max(one.right, APART)) for one in taken]

    def cost(x: float) -> float:
        return abs(x - wish) + 2 * max(span[0] - x, x - span[1], 0.0)

    candidates = [wish, *(end for room in rooms for end in room)]
    open_places = [x for x in candidates if all(x <= low or x >= high for low, high in rooms)]
    return min(open_places, key=cost)


def _room_of_words(net: Net) -> float:
    """Room on the right of a descent: for its probability, where it is written."""
    return text_width(chance_words(net), SMALL_SIZE) + 8 if net.written else APART


def chance_words(net: Net) -> str:
    """The probability as it is written beside a line."""
    return f"{net.probability:.2g}"


def gap_lines(layout: Layout, gap: int, is_fish: Callable[[str], bool]) -> Gap:
    """Routes every net of one gap."""
    nets = [net for net in layout.nets if net.gap == gap]
    by_tops: dict[Tops, list[Net]] = {}
    for net in nets:
        by_tops.setdefault(net.tops, []).append(net)
    order = {item: place for place, item in enumerate(layout.rows[gap])}
    sketches = []
    for tops, theirs in by_tops.items():
        direct = theirs[0].couple and all(map(is_fish, tops)) and abs(order[tops[0]] - order[tops[1]]) == 1
        sketches.append((tops, direct, _stems(layout, tops, theirs, is_fish, direct=direct), theirs))
    matings = _with_descents(layout, sketches)
    bars = {mating.tops: mating.span for mating in matings if not mating.straight}
    return Gap(matings, _lanes(bars), _lanes(_sib_bars(layout, matings)), any(net.written for net in nets))


def _stems(
    layout: Layout, tops: Tops, nets: Sequence[Net], is_fish: Callable[[str], bool], *, direct: bool
) -> tuple[float, ...]:
    if direct:
        left = min(tops, key=layout.centres.__getitem__)
        return (layout.centres[left] + layout.widths[left] / 2,)
    young = [layout.centres[bottom] for net in nets for bottom in net.bottoms]
    stems = []
    for place, top in enumerate(tops):
        toward = layout.centres[tops[1 - place]] if nets[0].couple else sum(young) / len(young)
        side = 1 if toward >= layout.centres[top] else -1
        stems.append(layout.centres[top] + (side * (layout.widths[top] / 2 - STUB_INSET) if is_fish(top) else 0.0))
    return tuple(stems)


def _with_descents(layout: Layout, sketches: Sequence[tuple[Tops, bool, tuple[float, ...], list[Net]]]) -> list[Mating]:
    """Gives every net its place to go down; those that need no bar and no words first, then the others around them."""
    young = [_Taken(layout.centres[bottom]) for _, _, _, nets in sketches for net in nets for bottom in net.bottoms]
    stems_taken = [_Taken(stem) for _, _, stems, _ in sketches for stem in stems]
    found: dict[Net, float] = {}
    for _, _, stems, nets in sketches:
        if len(stems) == len(nets) == 1 and not nets[0].written:
            others = _not_of(nets[0], young, layout) + _without_own(stems, stems_taken)
            if all(abs(one.place - stems[0]) >= APART - HAIR for one in others):
                found[nets[0]] = stems[0]
    wishes = [
        (min(max(_middle(layout, net.bottoms), min(stems)), max(stems)), stems, net)
        for _, _, stems, nets in sketches
        for net in nets
        if net not in found
    ]
    for wish, stems, net in sorted(wishes, key=lambda one: one[0]):
        others = _without_own(stems, stems_taken)
        others += _not_of(net, young, layout)
        others += [_Taken(place, APART, _room_of_words(other)) for other, place in found.items()]
        found[net] = _free(wish, _room_of_words(net), (min(stems), max(stems)), others)
    return [
        Mating(tops, direct, stems, tuple((net, found[net]) for net in nets)) for tops, direct, stems, nets in sketches
    ]


def _without_own(stems: tuple[float, ...], taken: list[_Taken]) -> list[_Taken]:
    """The stems that a descent must keep from: its own single one it may go on, unless others share that."""
    if len(stems) > 1 or sum(one.place == stems[0] for one in taken) > 1:
        return list(taken)
    return [one for one in taken if one.place != stems[0]]


def _not_of(net: Net, young: Iterable[_Taken], layout: Layout) -> list[_Taken]:
    """The lines down to young of other nets."""
    own = {layout.centres[bottom] for bottom in net.bottoms}
    return [one for one in young if one.place not in own]


def _middle(layout: Layout, items: Sequence[str]) -> float:
    return sum(layout.centres[item] for item in items) / len(items)


def _sib_bars(layout: Layout, matings: Iterable[Mating]) -> dict[Bottoms, tuple[float, float]]:
    """Span of every sibship's bar; a single young right below its parents needs none."""
    places: dict[Bottoms, list[float]] = {}
    for mating in matings:
        for net, x in mating.descents:
            places.setdefault(net.bottoms, [layout.centres[one] for one in net.bottoms]).append(x)
    return {bottoms: (min(xs), max(xs)) for bottoms, xs in places.items() if max(xs) - min(xs) >= HAIR}


def _lanes(spans: dict[tuple[str, ...], tuple[float, float]]) -> dict[tuple[str, ...], int]:
    """The first lane in which each bar meets no other."""
    ends: list[float] = []
    lanes: dict[tuple[str, ...], int] = {}
    for name, (left, right) in sorted(spans.items(), key=lambda one: one[1]):
        lane = next((lane for lane, end in enumerate(ends) if end + APART <= left), len(ends))
        ends[lane : lane + 1] = [right]
        lanes[name] = lane
    return lanes
