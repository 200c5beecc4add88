"""A square table of values as shaded cells, for kinship among up to 60 fish, as one `<svg>`."""

from collections.abc import Sequence

from breeding.figures.parts import svg
from breeding.figures.parts.axes import decimals_of, finite, round_ticks
from breeding.figures.parts.lettering import shortened, text_width

LARGEST_MAP = 60
LARGE_CELL, MIDDLE_CELL, SMALL_CELL = 42.0, 20.0, 13.0
MANY, VERY_MANY = 12, 30  # from so many fish on cells are middling, then small
EDGE, LABEL_ROOM, LEGEND = 10.0, 104.0, 56.0
# Cells with a number stay light enough to read it; the others may use the whole range.
LIGHT_STEPS = (0.0, 0.08, 0.16, 0.25, 0.34, 0.44)
FULL_STEPS = (0.0, 0.15, 0.32, 0.5, 0.7, 0.92)


def heat_map(values: Sequence[Sequence[float]], labels: Sequence[str], title: str, prefix: str = "heat") -> str:
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
    cell = LARGE_CELL if count <= MANY else MIDDLE_CELL if count <= VERY_MANY else SMALL_CELL
    top = max(max(map(float, row)) for row in values)
    bounds = _bounds(top)
    letters = min(svg.SMALL_SIZE, cell - 2)
    names = [shortened(svg.clean(label), letters, LABEL_ROOM) for label in labels]
    room = max(text_width(name, letters) for name in names) + 8
    corner = EDGE + room
    parts = [_labels(names, corner, cell, letters)]
    for row, line in enumerate(values):
        for column, value in enumerate(line):
            told = f"{labels[row]} and {labels[column]}: {value:.4g}"
            parts.append(_cell(value, bounds, (corner + column * cell, corner + row * cell, cell), told))
    bottom = corner + count * cell
    parts.append(_legend(bounds, bottom + 16, numbers=cell == LARGE_CELL))
    size = (max(bottom + EDGE, 330.0), bottom + LEGEND)
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


def _cell(value: float, bounds: Sequence[float], place: tuple[float, float, float], told: str) -> str:
    x, y, size = place
    shade = min(_shade(value, bounds), len(FULL_STEPS) - 1)
    large = size == LARGE_CELL
    drawn = [_swatch(shade, (x, y, size, size), light=large)]
    if large:
        drawn.append(svg.words(x + size / 2, y + size / 2 + 4, _short(value), text_anchor="middle", font_size=11))
    return svg.group(*drawn, title=told)


def _short(value: float) -> str:
    """At most three decimals without the zeros at the end; what is there but smaller is told as such."""
    if 0 < value < 0.0005:
        return "<0.001"
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _swatch(shade: int, place: tuple[float, float, float, float], *, light: bool) -> str:
    x, y, width, height = place
    pen = {"stroke": "currentColor", "stroke_width": 0.4, "stroke_opacity": 0.4, "fill": "currentColor"}
    opacity = (LIGHT_STEPS if light else FULL_STEPS)[shade]
    kind = f"fig-cell fig-step-{shade}"
    return svg.element("rect", x=x, y=y, width=width, height=height, class_=kind, fill_opacity=opacity, **pen)


def _labels(names: Sequence[str], corner: float, cell: float, letters: float) -> str:
    parts = []
    for place, name in enumerate(names):
        middle = corner + (place + 0.5) * cell + letters * 0.35
        parts.append(svg.words(corner - 5, middle, name, text_anchor="end", font_size=letters))
        turn = f"rotate(-90 {svg.number(middle)} {svg.number(corner - 5)})"
        parts.append(svg.words(middle, corner - 5, name, transform=turn, font_size=letters))
    return "".join(parts)


def _legend(bounds: Sequence[float], top: float, *, numbers: bool) -> str:
    step = bounds[0] if bounds else 1.0
    texts = ["0", *(f"{bound:.{decimals_of(step)}f}" for bound in bounds)]
    names = ["0", f"> {texts[0]}", *(f"≥ {text}" for text in texts[1:])]
    parts = []
    for shade, name in enumerate(names):
        x = EDGE + 52 * shade
        parts.append(_swatch(shade, (x, top, 44, 12), light=numbers))
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
