"""Puts rows and lanes of a pedigree on the page and draws its lines."""

from collections.abc import Iterable, Iterator
from itertools import accumulate

from breeding.figures.parts import svg
from breeding.figures.pedigree.families import ChartFish
from breeding.figures.pedigree.layout import Layout, Net
from breeding.figures.pedigree.lines import HAIR, Gap, Mating, chance_words, gap_lines
from breeding.figures.pedigree.symbols import HALF, edge, label_height

HEAD = 34.0  # from the top of a row to the centre of its symbols
STUB = 9.0  # how far below its centre a symbol lets out a line to a mate who stands apart
EDGE = 12.0  # empty margin of the page
NARROWEST_PAGE = 300.0


class Sheet:
    """Places on the page: `x` of an item, `y` of a row's symbols, `gap_top` below a row's words."""

    def __init__(self, layout: Layout, by_key: dict[str, ChartFish]) -> None:
        self.layout, self.by_key = layout, by_key
        self.gaps = [gap_lines(layout, gap, by_key.__contains__) for gap in range(len(layout.rows))]
        room = layout.widths[next(iter(by_key))]
        self.feet = [label_height((by_key[item] for item in row if item in by_key), room) for row in layout.rows]
        heights = [HEAD + foot + gap.height for foot, gap in zip(self.feet, self.gaps, strict=True)]
        self.tops = [0.0, *accumulate(heights)]
        extents = [mating.extent for gap in self.gaps for mating in gap.matings]
        left = min((start for start, _ in extents if start < 0), default=0.0)
        right = max((end for _, end in extents if end > layout.width), default=layout.width)
        self.width = max(right - left + 2 * EDGE, NARROWEST_PAGE)
        self.shift = (self.width - right + left) / 2 - left
        self.bottom = self.tops[-1] - self.gaps[-1].height

    def x(self, item: str) -> float:
        """Centre of an item across the page."""
        return self.layout.centres[item] + self.shift

    def y(self, row: int) -> float:
        """Centre of a row's symbols."""
        return self.tops[row] + HEAD

    def gap_top(self, row: int) -> float:
        """Where the gap below a row begins."""
        return self.y(row) + self.feet[row]


def strokes(sheet: Sheet) -> str:
    """All lines of the pedigree."""
    return "".join(part for row, gap in enumerate(sheet.gaps) for part in _gap(sheet, row, gap))


def _gap(sheet: Sheet, row: int, gap: Gap) -> Iterator[str]:
    yield from _stems(sheet, row, gap)
    for mating in gap.matings:
        yield from _mating(sheet, row, gap, mating)
        for net, place in mating.descents:
            top = sheet.gap_top(row) + gap.mating_level(mating.tops)
            yield from _descent(sheet, row, net, (place + sheet.shift, top))
    nets = [net for mating in gap.matings for net, _ in mating.descents]
    for bottoms in dict.fromkeys(net.bottoms for net in nets):
        yield from _young(sheet, row, bottoms, [net for net in nets if net.bottoms == bottoms])


def _stems(sheet: Sheet, row: int, gap: Gap) -> Iterator[str]:
    """From the mates down to their bar; a fish of several mates has one stem for all of a side."""
    ends: dict[tuple[str, float], tuple[float, float]] = {}
    for mating in gap.matings:
        level = sheet.gap_top(row) + gap.mating_level(mating.tops)
        chance = _chance(net for net, _ in mating.descents)
        if not mating.direct:
            for top, place in zip(mating.tops, mating.stems, strict=True):
                end, best = ends.get((top, place), (level, chance))
                ends[top, place] = (max(level, end), max(chance, best))
    for (top, place), (end, chance) in ends.items():
        x = place + sheet.shift
        start = [(x, sheet.gap_top(row))]
        if top in sheet.by_key:
            y = sheet.y(row) + STUB
            side = 1 if x > sheet.x(top) else -1
            start = [(sheet.x(top) + side * edge(sheet.by_key[top].sex, STUB), y), (x, y)]
        yield svg.path([*start, (x, end)], **_pen(chance))


def _mating(sheet: Sheet, row: int, gap: Gap, mating: Mating) -> Iterator[str]:
    """The line between mates: at their height where they stand side by side, else a bar below the row."""
    nets = [net for net, _ in mating.descents]
    pen, related = _pen(_chance(nets)), any(net.related for net in nets)
    level = sheet.gap_top(row) + gap.mating_level(mating.tops)
    if mating.direct:
        y = sheet.y(row)
        left, right = sorted(mating.tops, key=sheet.x)
        for rise in (-2, 2) if related else (0,):
            start = sheet.x(left) + edge(sheet.by_key[left].sex, rise)
            yield svg.line(start, y + rise, sheet.x(right) - edge(sheet.by_key[right].sex, rise), y + rise, **pen)
        stem = mating.stems[0] + sheet.shift
        yield svg.line(stem, y + (2 if related else 0), stem, level, **pen)
    if not mating.straight:
        left_end, right_end = (x + sheet.shift for x in mating.span)
        for drop in (0, 3) if related and not mating.direct else (0,):
            yield svg.line(left_end, level + drop, right_end, level + drop, **pen)


def _descent(sheet: Sheet, row: int, net: Net, start: tuple[float, float]) -> Iterator[str]:
    """Down from the parents, and along to the nearest of the young."""
    x, top = start
    gap, pen = sheet.gaps[row], _pen(net.probability)
    level = sheet.gap_top(row) + gap.sib_level(net.bottoms)
    yield svg.line(x, top, x, level, **pen)
    if net.written:
        level_of_words = sheet.gap_top(row) + gap.strip_level()
        yield svg.words(x + 4, level_of_words, chance_words(net), font_size=svg.SMALL_SIZE)
    young = sorted(map(sheet.x, net.bottoms))
    nearest = min(max(x, young[0]), young[-1])
    if abs(nearest - x) >= HAIR / 2:
        yield svg.line(x, level, nearest, level, **pen)


def _young(sheet: Sheet, row: int, bottoms: tuple[str, ...], nets: list[Net]) -> Iterator[str]:
    """The bar over sibs and the line down to each; a line that only passes a row stays dashed if it was."""
    level = sheet.gap_top(row) + sheet.gaps[row].sib_level(bottoms)
    young = sorted(map(sheet.x, bottoms))
    if len(young) > 1:
        yield svg.line(young[0], level, young[-1], level)
    for bottom in bottoms:
        if bottom in sheet.by_key:
            yield svg.line(sheet.x(bottom), level, sheet.x(bottom), sheet.y(row + 1) - HALF)
        else:
            yield svg.line(sheet.x(bottom), level, sheet.x(bottom), sheet.gap_top(row + 1), **_pen(_chance(nets)))


def _chance(nets: Iterable[Net]) -> float:
    return max(net.probability for net in nets)


def _pen(probability: float) -> dict[str, str]:
    return {"stroke_dasharray": "5 3", "class_": "fig-line fig-possible"} if probability < 1 else {}
