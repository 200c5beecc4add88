"""The pedigree picture: a fish, its ancestors above it and its young below, as one `<svg>`.

Symbols: Bennett et al. 1995, 2008 (see `pedigree_symbols`). Related parents are joined by a double line; possible
parents by dashed lines with their probability.
"""

from collections.abc import Callable, Sequence
from itertools import accumulate

from breeding.figures import svg
from breeding.figures.lettering import wrapped
from breeding.figures.pedigree_families import ChartFish, ChartPair, checked, generations, sibships, with_few_young
from breeding.figures.pedigree_layout import Layout, Net, laid_out
from breeding.figures.pedigree_lines import Gap, Mating, gap_lines
from breeding.figures.pedigree_symbols import HALF, edge, label_height, room_needed, symbol

__all__ = ["ChartFish", "ChartPair", "pedigree_chart"]

HEAD = 34.0  # from the top of a row to the centre of its symbols
STUB = 9.0  # how far below its centre a symbol lets out a line to a mate who stands apart
EDGE = 12.0
LEGEND_STEP = 16.0


def pedigree_chart(
    fish: Sequence[ChartFish],
    pairs: Sequence[ChartPair],
    focus: str,
    more_young: int = 0,
    prefix: str = "pedigree",
) -> str:
    """Draws the pedigree of the fish `focus`.

    Parameters
    ----------
    fish : the fish to draw, the one in the middle included; each key once.
    pairs : possible parents; several pairs for one child are alternatives with their probabilities.
    focus : key of the fish that the picture is about. Of its young the first eight are drawn.
    more_young : young of `focus` that exist but are not in `fish`; they are told in words.
    prefix : start of the ids in the picture; must differ between pictures on one page.

    Raises
    ------
    ValueError
        More than 150 fish to draw, a pair that names a fish not given, a loop (named), a probability outside (0, 1].
    """
    if not fish:
        return svg.empty_picture("No fish to draw: choose a fish first.", "Pedigree", prefix)
    shown, kept, left_out = with_few_young(fish, pairs, focus)
    checked(shown, kept, focus)
    rows = generations([one.key for one in shown], kept)
    layout = laid_out({one.key: room_needed(one) for one in shown}, rows, sibships(kept, rows))
    by_key = {one.key: one for one in shown}
    sheet = _Sheet(layout, by_key)
    symbols = [
        symbol(one, (sheet.x(one.key), sheet.y(rows[one.key])), layout.widths[one.key], focus=one.key == focus)
        for one in shown
    ]
    hidden = left_out + more_young
    below, bottom = _foot(shown, kept, hidden, (sheet.width, sheet.bottom))
    body = svg.group(*sheet.lines(), class_="fig-lines") + "".join(symbols) + below
    about = (f"Pedigree of {by_key[focus].label}", _description(by_key, kept, focus, hidden))
    return svg.picture((sheet.width, bottom), body, about, prefix)


class _Sheet:
    """Turns rows and lanes into places on the page."""

    def __init__(self, layout: Layout, by_key: dict[str, ChartFish]) -> None:
        self.layout, self.by_key = layout, by_key
        self.gaps = [gap_lines(layout, gap, by_key.__contains__) for gap in range(len(layout.rows))]
        self.feet = [
            label_height((by_key[item], layout.widths[item]) for item in row if item in by_key) for row in layout.rows
        ]
        heights = [HEAD + foot + gap.height for foot, gap in zip(self.feet, self.gaps, strict=True)]
        self.tops = [0.0, *accumulate(heights)]
        self.width = max(layout.width + 2 * EDGE, 300.0)
        self.shift = (self.width - layout.width) / 2
        self.bottom = self.tops[-1] - self.gaps[-1].height

    def x(self, item: str) -> float:
        return self.layout.centres[item] + self.shift

    def y(self, row: int) -> float:
        return self.tops[row] + HEAD

    def gap_top(self, row: int) -> float:
        return self.y(row) + self.feet[row]

    def lines(self) -> list[str]:
        """All strokes, row by row."""
        return [part for row, gap in enumerate(self.gaps) for part in self._gap(row, gap)]

    def _gap(self, row: int, gap: Gap) -> list[str]:
        parts = []
        for mating in gap.matings:
            parts += self._mating(row, gap, mating)
            for net, x in mating.descents:
                parts += self._descent(row, gap, net, (x + self.shift, mating))
        for bottoms in dict.fromkeys(net.bottoms for mating in gap.matings for net, _ in mating.descents):
            parts += self._young(row, gap, bottoms)
        return parts

    def _mating(self, row: int, gap: Gap, mating: Mating) -> list[str]:
        nets = [net for net, _ in mating.descents]
        pen = _pen(max(net.probability for net in nets))
        double = any(net.related for net in nets)
        level = self.gap_top(row) + gap.mating_level(mating.tops)
        end = level if not mating.straight else level
        parts = []
        if mating.direct:
            left, right = sorted(mating.tops, key=self.layout.centres.__getitem__)
            for rise in (-2, 2) if double else (0,):
                start = self.x(left) + edge(self.by_key[left].sex, rise)
                stop = self.x(right) - edge(self.by_key[right].sex, rise)
                parts.append(svg.line(start, self.y(row) + rise, stop, self.y(row) + rise, **pen))
            stem = mating.stems[0] + self.shift
            parts.append(svg.line(stem, self.y(row) + (2 if double else 0), stem, end, **pen))
        else:
            for top, stem in zip(mating.tops, mating.stems, strict=True):
                parts.append(self._stem(row, top, stem + self.shift, end, pen))
        if not mating.straight:
            left, right = (x + self.shift for x in mating.span)
            apart = double and not mating.direct
            for drop in (0, 3) if apart else (0,):
                parts.append(svg.line(left, level + drop, right, level + drop, **pen))
        return parts

    def _stem(self, row: int, top: str, x: float, end: float, pen: dict[str, str]) -> str:
        if top not in self.by_key:
            return svg.line(x, self.gap_top(row), x, end, **pen)
        y = self.y(row) + STUB
        side = 1 if x > self.x(top) else -1
        return svg.path([(self.x(top) + side * edge(self.by_key[top].sex, STUB), y), (x, y), (x, end)], **pen)

    def _descent(self, row: int, gap: Gap, net: Net, at: tuple[float, Mating]) -> list[str]:
        x, mating = at
        pen = _pen(net.probability)
        start = self.gap_top(row) + gap.mating_level(mating.tops)
        end = self.gap_top(row) + gap.sib_level(net.bottoms)
        parts = [svg.line(x, start, x, end, **pen)]
        if net.written:
            level = self.gap_top(row) + gap.strip_level()
            parts.append(svg.words(x + 4, level, f"{net.probability:.2g}", font_size=svg.SMALL_SIZE))
        young = sorted(self.x(bottom) for bottom in net.bottoms)
        nearest = min(max(x, young[0]), young[-1])
        if abs(nearest - x) >= 0.25:
            parts.append(svg.line(x, end, nearest, end, **pen))
        return parts

    def _young(self, row: int, gap: Gap, bottoms: tuple[str, ...]) -> list[str]:
        level = self.gap_top(row) + gap.sib_level(bottoms)
        young = sorted(self.x(bottom) for bottom in bottoms)
        parts = [svg.line(young[0], level, young[-1], level)] if len(young) > 1 else []
        for bottom in bottoms:
            end = self.y(row + 1) - HALF if bottom in self.by_key else self.gap_top(row + 1)
            parts.append(svg.line(self.x(bottom), level, self.x(bottom), end))
        return parts


def _pen(probability: float) -> dict[str, str]:
    return {"stroke_dasharray": "5 3", "class_": "fig-line fig-possible"} if probability < 1 else {}


def _foot(
    fish: Sequence[ChartFish], pairs: Sequence[ChartPair], hidden: int, corner: tuple[float, float]
) -> tuple[str, float]:
    """What is not drawn and what the signs mean, in words; and where the picture ends."""
    width, y = corner
    lines = [f"and {hidden:,} more young"] if hidden else []
    for sentence in _legend(fish, pairs):
        lines += wrapped(sentence, svg.SMALL_SIZE, width - 2 * EDGE, 4)
    parts = []
    for place, text in enumerate(lines):
        quiet = "fig-ink" if hidden and place == 0 else "fig-ink fig-quiet"
        parts.append(svg.words(EDGE, y + LEGEND_STEP * (place + 1), text, font_size=svg.SMALL_SIZE, class_=quiet))
    return "".join(parts), y + LEGEND_STEP * len(lines) + EDGE


def _legend(fish: Sequence[ChartFish], pairs: Sequence[ChartPair]) -> list[str]:
    sexes = {one.sex if one.sex in ("M", "F") else "" for one in fish}
    has: list[tuple[bool, str]] = [
        ("M" in sexes, "square: male"),
        ("F" in sexes, "circle: female"),
        ("" in sexes, "diamond: sex unknown"),
        (any(one.dead for one in fish), "slash: dead"),
        (any(one.count > 1 for one in fish), "number inside: that many sibs"),
        (any(pair.probability < 1 for pair in pairs), "dashed: possible parents with their probability"),
        (True, "double line: related parents"),
    ]
    text = " · ".join(words for present, words in has if present)
    return [text[:1].upper() + text[1:]]


def _description(by_key: dict[str, ChartFish], pairs: Sequence[ChartPair], focus: str, hidden: int) -> str:
    """The nearest relatives in sentences, for whoever cannot see the picture."""
    name: Callable[[str | None], str] = lambda key: svg.clean(by_key[key].label) if key else "unknown"  # noqa: E731
    own = [pair for pair in pairs if pair.child == focus]
    parts = [
        f"Dam {name(pair.dam)}, sire {name(pair.sire)}"
        + (f", with probability {pair.probability:.2g}." if pair.probability < 1 else ".")
        for pair in own
    ]
    parts = parts or ["Parents unknown."]
    young = list(dict.fromkeys(pair.child for pair in pairs if focus in pair.parents))
    if young:
        parts.append(f"Young: {', '.join(map(name, young))}" + (f" and {hidden:,} more." if hidden else "."))
    parts.append(f"{len(by_key)} fish drawn in {1 + max(generations(by_key, pairs).values())} generations.")
    return " ".join(parts)
