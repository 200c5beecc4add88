"""How much of each limit is used: a bar to its limit, filled as far as it is used, hatched where it is over."""

from collections.abc import Sequence
from dataclasses import dataclass

from breeding.figures.parts import svg
from breeding.figures.parts.axes import whole
from breeding.figures.parts.lettering import shortened

MOST_BARS = 40
WIDTH, EDGE, ROW, THICK = 520.0, 8.0, 44.0, 12.0
VALUES = 150.0
STROKES = 6.0


@dataclass(frozen=True)
class Use:
    """One limit: what it is of, how much is used, and the most that is allowed (None: no limit is stated)."""

    label: str
    used: int
    most: int | None


def use_bars(rows: Sequence[Use], title: str, prefix: str = "use") -> str:
    """Draws the limits in the order given, each on a scale of its own.

    Raises
    ------
    ValueError
        More than 40 limits, a use below zero or a limit below one.
    """
    if not rows:
        return svg.empty_picture("No limit to draw.", title, prefix)
    if len(rows) > MOST_BARS:
        raise ValueError(f"{len(rows)} limits are too many for one picture (limit {MOST_BARS}). Show them as a list.")
    for row in rows:
        if row.used < 0 or (row.most is not None and row.most < 1):
            raise ValueError(f"“{row.label}” is used by {row.used} of {row.most}; these are no numbers of fish.")
    parts = [_row(row, EDGE + ROW * place) for place, row in enumerate(rows)]
    return svg.picture((WIDTH, ROW * len(rows) + EDGE), "".join(parts), (title, _description(rows)), prefix)


def _row(row: Use, top: float) -> str:
    room, y = WIDTH - VALUES, top + 18
    most = max(row.most or 0, row.used, 1)
    within, limit = (room * min(row.used, row.most or 0) / most, room * (row.most or 0) / most)
    drawn = [svg.words(0, top + 11, shortened(svg.clean(row.label), svg.TEXT_SIZE, room))]
    if row.most is None:
        drawn.append(svg.line(0, y + THICK / 2, room, y + THICK / 2, class_="fig-rule", stroke_dasharray="4 4"))
    else:
        drawn.append(_box(0, y, within, fill="currentColor", fill_opacity=0.55, class_="fig-bar"))
        drawn += _hatching(limit, room * row.used / most, y)
        drawn.append(_box(0, y, limit, fill="none", stroke="currentColor", stroke_width=1, class_="fig-line"))
    drawn.append(svg.words(room + 8, y + 10, _told(row), font_size=svg.SMALL_SIZE))
    return svg.group(*drawn, title=f"{row.label}: {_told(row)}")


def _box(x: float, y: float, width: float, **attributes: object) -> str:
    return svg.element("rect", x=x, y=y, width=width, height=THICK, **attributes)


def _hatching(start: float, end: float, y: float) -> list[str]:
    """Return slanted strokes over what lies beyond the limit, and its outline: seen without colour too."""
    if end <= start:
        return []
    count = max(1, int((end - start) / STROKES))
    step = (end - start) / count
    strokes = [
        svg.line(start + step * n, y + THICK, start + step * (n + 1), y, class_="fig-line", stroke_width=1)
        for n in range(count)
    ]
    return [
        *strokes,
        _box(start, y, end - start, fill="none", stroke="currentColor", stroke_width=1.5, class_="fig-line"),
    ]


def _told(row: Use) -> str:
    if row.most is None:
        return f"{whole(row.used)} used, no limit stated"
    over = row.used - row.most
    return f"{whole(row.used)} of {whole(row.most)}" + (f", {whole(over)} too many" if over > 0 else "")


def _description(rows: Sequence[Use]) -> str:
    over = [row.label for row in rows if row.most is not None and row.used > row.most]
    said = f"{len(rows)} limits. " if len(rows) != 1 else "One limit. "
    return said + (f"Over its limit: {'; '.join(over)}." if over else "None is over its limit.")
