"""The frame that charts share: a panel with rules at the ticks, numbers at the left, and markers of several shapes."""

from collections.abc import Sequence
from dataclasses import dataclass

from breeding.figures.parts import svg
from breeding.figures.parts.axes import Scale, round_ticks, tick_words
from breeding.figures.parts.lettering import text_width

TICK, TICK_SIZE = 4.0, 11.0
MARK = 3.5

# Series differ by dash and by marker, so that none needs its colour to be known.
DASHES = (None, "7 3", "2 3", "9 3 2 3", "12 4", "4 2 1 2")
SHAPES = ("disc", "square", "triangle", "diamond", "ring", "cross")


@dataclass(frozen=True)
class Panel:
    """The area in which values are drawn, and its two scales."""

    x: Scale
    y: Scale

    @property
    def left(self) -> float:
        """Left edge."""
        return self.x.start

    @property
    def right(self) -> float:
        """Right edge."""
        return self.x.end

    @property
    def bottom(self) -> float:
        """Lower edge."""
        return self.y.start

    @property
    def top(self) -> float:
        """Upper edge."""
        return self.y.end


def value_range(values: Sequence[float]) -> tuple[float, float]:
    """Low and high for a scale: from zero, unless the values lie close together far away from it."""
    low, high = min(values), max(values)
    if low > 0 and low < 0.5 * high:
        low = 0.0
    if high < 0 and high > 0.5 * low:
        high = 0.0
    return low, high


def left_axis(panel: Panel, ticks: Sequence[float], name: str) -> str:
    """Rules across the panel, numbers at the left, the name with its unit above."""
    parts = [svg.words(panel.left, panel.top - 10, name, font_size=svg.SMALL_SIZE + 1)]
    for value, text in zip(ticks, tick_words(list(ticks)), strict=True):
        y = panel.y.at(value)
        parts.append(svg.line(panel.left, y, panel.right, y, class_="fig-rule", stroke_width=0.5, stroke_opacity=0.35))
        parts.append(svg.words(panel.left - 6, y + 4, text, text_anchor="end", font_size=TICK_SIZE))
    return "".join(parts)


def bottom_axis(panel: Panel, ticks: Sequence[tuple[float, str]]) -> str:
    """The rule below the panel with its ticks; words that would meet the ones before them are left out."""
    parts = [svg.line(panel.left, panel.bottom, panel.right, panel.bottom)]
    free = float("-inf")
    for value, text in ticks:
        x = panel.x.at(value)
        parts.append(svg.line(x, panel.bottom, x, panel.bottom + TICK))
        half = text_width(text, TICK_SIZE) / 2
        if x - half > free:
            parts.append(svg.words(x, panel.bottom + 17, text, text_anchor="middle", font_size=TICK_SIZE))
            free = x + half + 6
    return "".join(parts)


def ticks_and_scale(values: Sequence[float], start: float, end: float, most: int = 5) -> tuple[list[float], Scale]:
    """Round ticks that enclose the values, and the scale from the first to the last of them."""
    ticks = round_ticks(*value_range(values), most)
    return ticks, Scale(ticks[0], ticks[-1], start, end)


def marker(shape: str, x: float, y: float, words: str = "") -> str:
    """A small sign at a value; `words` are shown to whoever points at it."""
    solid = {"class_": "fig-mark", "fill": "currentColor"}
    hollow = {"class_": "fig-mark", "fill": "none", "stroke": "currentColor", "stroke_width": 1.5}
    if shape == "disc":
        drawn = svg.element("circle", cx=x, cy=y, r=MARK, **solid)
    elif shape == "ring":
        drawn = svg.element("circle", cx=x, cy=y, r=MARK, **hollow)
    elif shape == "square":
        drawn = svg.element("rect", x=x - MARK, y=y - MARK, width=2 * MARK, height=2 * MARK, **solid)
    elif shape == "cross":
        drawn = svg.path([(x - MARK, y - MARK), (x + MARK, y + MARK)]) + svg.path(
            [(x - MARK, y + MARK), (x + MARK, y - MARK)]
        )
    else:
        size = MARK + 1
        corners = [(x, y - size), (x + size, y), (x, y + size), (x - size, y)]
        if shape == "triangle":
            corners = [(x, y - size), (x + size, y + MARK), (x - size, y + MARK)]
        drawn = svg.element("polygon", points=" ".join(f"{svg.number(a)},{svg.number(b)}" for a, b in corners), **solid)
    return svg.group(drawn, title=words) if words else drawn


def tick_room(ticks: Sequence[float]) -> float:
    """Room that the numbers at the left need."""
    return max(text_width(text, TICK_SIZE) for text in tick_words(list(ticks))) + 12
