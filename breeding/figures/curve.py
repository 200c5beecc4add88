"""Curves with their uncertainty: several series told apart by dash and marker, as one `<svg>`."""

from collections.abc import Sequence
from dataclasses import dataclass

from breeding.figures.parts import svg
from breeding.figures.parts.axes import finite, tick_words
from breeding.figures.parts.lettering import shortened
from breeding.figures.parts.plot import (
    DASHES,
    SHAPES,
    Panel,
    bottom_axis,
    left_axis,
    marker,
    tick_room,
    ticks_and_scale,
)

WIDTH, PANEL, EDGE, HEAD, FOOT, LEGEND_STEP = 480.0, 220.0, 14.0, 34.0, 46.0, 18.0
MOST_SERIES = len(SHAPES)
MOST_MARKS = 25


@dataclass(frozen=True)
class Series:
    """One curve; `low` and `high`, if given, bound its uncertainty at every x, and `band` says what lies between."""

    name: str
    x: Sequence[float]
    y: Sequence[float]
    low: Sequence[float] = ()
    high: Sequence[float] = ()
    band: str = "its uncertainty"


@dataclass(frozen=True)
class Axes:
    """What the axes show, each with its unit."""

    x: str
    y: str


def curve(series: Sequence[Series], axes: Axes, title: str, prefix: str = "curve") -> str:
    """Draws up to six series over one pair of axes, with a legend below.

    Raises
    ------
    ValueError
        More than six series, unequal lengths within one, or a value that is no finite number.
    """
    drawn = [one for one in series if len(one.x)]
    if not drawn:
        return svg.empty_picture("No values to draw yet.", title, prefix)
    _check(series)
    heights = [value for one in drawn for values in (one.y, one.low, one.high) for value in values]
    y_ticks, up = ticks_and_scale(heights, HEAD + PANEL, HEAD)
    left = EDGE + tick_room(y_ticks)
    x_ticks, across = ticks_and_scale([value for one in drawn for value in one.x], left, WIDTH - EDGE - 10)
    panel = Panel(across, up)
    # A year is written without a separator: 1994, not 1,994.
    words = [f"{tick:.0f}" for tick in x_ticks] if axes.x.endswith("year") else tick_words(x_ticks)
    named = list(zip(x_ticks, words, strict=True))
    parts = [left_axis(panel, y_ticks, axes.y), bottom_axis(panel, named)]
    parts.append(svg.words(panel.right, panel.bottom + 34, axes.x, text_anchor="end", font_size=svg.SMALL_SIZE + 1))
    parts += [_band(one, panel, place) for place, one in enumerate(drawn) if len(one.low)]
    parts += [_line(one, panel, place) for place, one in enumerate(drawn)]
    bottom = panel.bottom + FOOT
    parts += [_legend(one, place, bottom) for place, one in enumerate(drawn)]
    size = (WIDTH, bottom + LEGEND_STEP * len(drawn) + 4)
    return svg.picture(size, "".join(parts), (title, _description(drawn, axes)), prefix)


def _check(series: Sequence[Series]) -> None:
    if len(series) > MOST_SERIES:
        raise ValueError(
            f"{len(series)} series are too many for one picture (limit {MOST_SERIES}). Draw fewer at a time."
        )
    for one in series:
        bounds = [values for values in (one.low, one.high) if len(values)]
        if len(one.x) != len(one.y) or any(len(values) != len(one.x) for values in bounds) or len(bounds) == 1:
            raise ValueError(f"Series {one.name!r}: x, y and both bounds must have the same length.")
        for what, values in (("x", one.x), ("y", one.y), ("low", one.low), ("high", one.high)):
            finite(values, f"Series {one.name!r}, {what}")


def _places(panel: Panel, x: Sequence[float], y: Sequence[float]) -> list[tuple[float, float]]:
    return [(panel.x.at(a), panel.y.at(b)) for a, b in zip(x, y, strict=True)]


def _band(one: Series, panel: Panel, place: int) -> str:
    edge = _places(panel, one.x, one.high) + _places(panel, one.x, one.low)[::-1]
    points = " ".join(f"{svg.number(x)},{svg.number(y)}" for x, y in edge)
    shade = {"class_": f"fig-band fig-series-{place}", "fill": "currentColor", "fill_opacity": 0.1}
    return svg.element("polygon", points=points, **shade)


def _line(one: Series, panel: Panel, place: int) -> str:
    places = _places(panel, one.x, one.y)
    kind = f"fig-line fig-series-{place}"
    parts = [svg.path(places, class_=kind, stroke_dasharray=DASHES[place], stroke_width=1.5)] if len(places) > 1 else []
    every = -(-len(places) // MOST_MARKS)
    for at in range(0, len(places), every):
        parts.append(marker(SHAPES[place], *places[at], f"{one.name}: {one.y[at]:.4g} at {one.x[at]:.4g}"))
    return svg.group(*parts, class_=f"fig-series-{place}")


def _legend(one: Series, place: int, top: float) -> str:
    y = top + LEGEND_STEP * place + 6
    sample = svg.line(EDGE, y, EDGE + 36, y, stroke_dasharray=DASHES[place], class_=f"fig-line fig-series-{place}")
    band = f", shaded: {one.band}" if len(one.low) else ""
    name = shortened(svg.clean(one.name) + band, svg.SMALL_SIZE + 1, WIDTH - 2 * EDGE - 46)
    text = svg.words(EDGE + 46, y + 4, name, font_size=svg.SMALL_SIZE + 1)
    return svg.group(sample, marker(SHAPES[place], EDGE + 18, y), text, class_=f"fig-series-{place}")


def _description(series: Sequence[Series], axes: Axes) -> str:
    parts = [f"{axes.y} against {axes.x}."]
    parts += [
        f"{one.name}: from {one.y[0]:.4g} at {one.x[0]:.4g} to {one.y[-1]:.4g} at {one.x[-1]:.4g}." for one in series
    ]
    return " ".join(parts)
