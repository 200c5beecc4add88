"""A square table of values as shaded cells, for kinship among up to 60 fish, as one `<svg>`."""

from collections.abc import Sequence
from dataclasses import dataclass

from breeding.figures.parts import svg
from breeding.figures.parts.axes import finite, round_ticks
from breeding.figures.parts.lettering import shortened, text_width

LARGEST_MAP = 60
LARGE_CELL, MIDDLE_CELL, SMALL_CELL = 42.0, 20.0, 13.0
MANY, VERY_MANY = 12, 30  # from so many fish on cells are middling, then small
EDGE, LABEL_ROOM, LEGEND, STEP = 10.0, 104.0, 56.0, 68.0
# Cells with a number stay light enough to read it; the others may use the whole range.
LIGHT_STEPS = (0.0, 0.08, 0.16, 0.25, 0.34, 0.44)
FULL_STEPS = (0.0, 0.15, 0.32, 0.5, 0.7, 0.92)


@dataclass(frozen=True)
class Shades:
    """Lower bounds of the shades above the lightest, at most four, in place of round numbers; and links of the rows."""

    bounds: Sequence[float] = ()
    links: Sequence[str] = ()


def heat_map(
    values: Sequence[Sequence[float]],
    labels: Sequence[str],
    title: str,
    prefix: str = "heat",
    shades: Shades | None = None,
) -> str:
    """Draws an n × n table, darker for larger values; numbers stand in the cells where they are large enough.

    Parameters
    ----------
    values : n rows of n finite numbers, none below zero.
    labels : n names, for rows and columns alike.

    Raises
    ------
    ValueError
        Not square, not as many labels as rows, more than 60 rows, a value that is not finite or below zero.
    """
    count = len(values)
    if not count:
        return svg.empty_picture("No values to draw yet: choose some fish first.", title, prefix)
    _check(values, labels)
    shades = shades or Shades()
    cell = LARGE_CELL if count <= MANY else MIDDLE_CELL if count <= VERY_MANY else SMALL_CELL
    bounds = list(shades.bounds) or _bounds(max(max(map(float, row)) for row in values))
    letters = min(svg.SMALL_SIZE, cell - 2)
    names = [shortened(svg.clean(label), letters, LABEL_ROOM) for label in labels]
    room = max(text_width(name, letters) for name in names) + 8
    corner = EDGE + room
    bottom = corner + count * cell
    parts = [
        _labels(names, shades.links or [""] * count, (corner, cell, letters)),
        _cells(values, labels, bounds, (corner, cell)),
        _legend(bounds, bottom + 16, numbers=cell == LARGE_CELL),
    ]
    size = (max(bottom + EDGE, EDGE + STEP * (len(bounds) + 2)), bottom + LEGEND)
    return svg.picture(size, "".join(parts), (title, _description(values, labels)), prefix)


def _check(values: Sequence[Sequence[float]], labels: Sequence[str]) -> None:
    count = len(values)
    if count > LARGEST_MAP:
        raise ValueError(f"{count} rows are too many for one picture (limit {LARGEST_MAP}). Choose fewer fish.")
    if any(len(row) != count for row in values):
        raise ValueError(f"The table has {count} rows, but not every row has {count} values.")
    if len(labels) != count:
        raise ValueError(f"{len(labels)} labels were given for {count} rows.")
    for label, row in zip(labels, values, strict=True):
        if min(finite(row, f"Row {label}")) < 0:
            raise ValueError(f"Row {label} holds a value below zero, which has no shade.")


def _bounds(top: float) -> list[float]:
    """Lower bounds of the shades above the lightest, at round numbers; at most five."""
    ticks = round_ticks(0.0, top or 1.0, len(FULL_STEPS) - 1)
    return ticks[1:-1] if ticks[-1] >= top else ticks[1:]


def _shade(value: float, bounds: Sequence[float]) -> int:
    """0 for nothing at all, then one more for each bound reached."""
    return 0 if value <= 0 else 1 + sum(value >= bound for bound in bounds)


def _cells(
    values: Sequence[Sequence[float]], labels: Sequence[str], bounds: Sequence[float], place: tuple[float, float]
) -> str:
    """The cells, one group a shade: what all have in common is said once, or sixty rows would weigh a megabyte."""
    corner, cell = place
    large = cell == LARGE_CELL
    drawn: dict[int, list[str]] = {}
    numbers = []
    names = [svg.escaped(label) for label in labels]
    side = svg.number(cell)
    for row, line in enumerate(values):
        for column, value in enumerate(line):
            x, y = corner + column * cell, corner + row * cell
            square = f"M{svg.number(x)} {svg.number(y)}h{side}v{side}h-{side}z"
            told = f"<title>{names[row]} and {names[column]}: {value:.4g}</title>"
            drawn.setdefault(_shade(value, bounds), []).append(f'<path d="{square}">{told}</path>')
            if large:
                middle = {"text_anchor": "middle", "font_size": 11, "pointer_events": "none"}
                numbers.append(svg.words(x + cell / 2, y + cell / 2 + 4, _short(value), **middle))
    groups = [svg.group(*cells, **_ink(shade, light=large)) for shade, cells in sorted(drawn.items())]
    return "".join(groups + numbers)


def _short(value: float) -> str:
    """At most three decimals without the zeros at the end; what is there but smaller is told as such."""
    if 0 < value < 0.0005:
        return "<0.001"
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _ink(shade: int, *, light: bool) -> dict[str, object]:
    opacity = (LIGHT_STEPS if light else FULL_STEPS)[min(shade, len(FULL_STEPS) - 1)]
    pen = {"stroke": "currentColor", "stroke_width": 0.4, "stroke_opacity": 0.4, "fill": "currentColor"}
    return {"class_": f"fig-cell fig-step-{shade}", "fill_opacity": opacity, **pen}


def _labels(names: Sequence[str], links: Sequence[str], place: tuple[float, float, float]) -> str:
    corner, cell, letters = place
    parts = []
    for number, (name, href) in enumerate(zip(names, links, strict=True)):
        middle = corner + (number + 0.5) * cell + letters * 0.35
        parts.append(svg.link(href, svg.words(corner - 5, middle, name, text_anchor="end", font_size=letters)))
        turn = f"rotate(-90 {svg.number(middle)} {svg.number(corner - 5)})"
        parts.append(svg.words(middle, corner - 5, name, transform=turn, font_size=letters))
    return "".join(parts)


def _legend(bounds: Sequence[float], top: float, *, numbers: bool) -> str:
    names = ["0", "> 0", *(f"≥ {bound:.4g}" for bound in bounds)]
    parts = []
    for shade, name in enumerate(names):
        x = EDGE + STEP * shade
        ink = _ink(shade, light=numbers)
        parts.append(svg.element("rect", x=x, y=top, width=44, height=12, **ink))
        parts.append(svg.words(x, top + 26, name, font_size=svg.SMALL_SIZE))
    return "".join(parts)


def _description(values: Sequence[Sequence[float]], labels: Sequence[str]) -> str:
    count = len(labels)
    apart = [(values[row][column], row, column) for row in range(count) for column in range(row)]
    if not apart:
        return f"One fish, {labels[0]}: {values[0][0]:.4g}."
    (largest, row, column), (least, *_) = max(apart), min(apart)
    mean = sum(value for value, *_ in apart) / len(apart)
    return (
        f"{count} by {count} values. Between two different fish from {least:.4g} to {largest:.4g} "
        f"({labels[row]} and {labels[column]}), mean {mean:.4g}."
    )
