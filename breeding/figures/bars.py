"""Founder contributions: a bar for each founder's share of the gene pool, and beside it how much of it is left."""

from collections.abc import Sequence
from dataclasses import dataclass

from breeding.figures.parts import svg
from breeding.figures.parts.axes import Scale, finite, round_ticks, tick_words
from breeding.figures.parts.lettering import shortened, text_width
from breeding.figures.parts.plot import MARK, TICK_SIZE, marker

MOST_BARS = 60
WIDTH, EDGE, HEAD, ROW, THICK = 480.0, 10.0, 46.0, 22.0, 12.0
LABEL_ROOM, VALUE_ROOM, RETENTION = 130.0, 52.0, 90.0


@dataclass(frozen=True)
class Bar:
    """A founder: its expected `share` of the living gene pool, and the part of its own genes still present (0 to 1).

    `note` is a word or two of warning, set behind the share.
    """

    label: str
    share: float
    retention: float | None = None
    href: str = ""
    note: str = ""


def bars(rows: Sequence[Bar], title: str, prefix: str = "bars") -> str:
    """Draws the founders in the order given; the diamond at the right is the retention on a scale from 0 to 1.

    Raises
    ------
    ValueError
        More than 60 founders, a share or retention that is not finite or outside 0 to 1.
    """
    if not rows:
        return svg.empty_picture("No founders to draw yet.", title, prefix)
    _check(rows)
    names = [shortened(svg.clean(row.label), svg.TEXT_SIZE, LABEL_ROOM) for row in rows]
    left = EDGE + max(text_width(name, svg.TEXT_SIZE) for name in names) + 8
    kept = any(row.retention is not None for row in rows)
    noted = max(text_width(row.note, svg.SMALL_SIZE) for row in rows)
    right = WIDTH - EDGE - VALUE_ROOM - noted - (RETENTION + 22 if kept else 0)
    ticks = round_ticks(0.0, max(row.share for row in rows) or 1.0, 3)
    bottom = HEAD + ROW * len(rows)
    shares = Scale(0.0, ticks[-1], left, right)
    parts = [_axis(ticks, shares, bottom, "Share of the gene pool")]
    retentions = Scale(0.0, 1.0, WIDTH - EDGE - RETENTION, WIDTH - EDGE - MARK)
    if kept:
        parts.append(_axis([0.0, 0.5, 1.0], retentions, bottom, "Retention"))
    for place, (row, name) in enumerate(zip(rows, names, strict=True)):
        parts.append(_row(row, name, HEAD + ROW * (place + 0.5), (shares, retentions)))
    return svg.picture((WIDTH, bottom + EDGE), "".join(parts), (title, _description(rows)), prefix)


def _check(rows: Sequence[Bar]) -> None:
    if len(rows) > MOST_BARS:
        raise ValueError(f"{len(rows)} founders are too many for one picture (limit {MOST_BARS}). Show them as a list.")
    for row in rows:
        for what, value in (("share", row.share), ("retention", row.retention)):
            if value is not None and not -1e-9 <= finite([value], f"{row.label}, {what}")[0] <= 1 + 1e-9:
                raise ValueError(f"The {what} of {row.label} is {value}; it must be between 0 and 1.")


def _axis(ticks: Sequence[float], scale: Scale, bottom: float, name: str) -> str:
    parts = [svg.words(scale.start, 14, name, font_size=svg.SMALL_SIZE + 1)]
    for value, text in zip(ticks, tick_words(list(ticks)), strict=True):
        x = scale.at(value)
        rule = {"class_": "fig-rule", "stroke_width": 0.5, "stroke_opacity": 0.35}
        parts.append(svg.line(x, HEAD - 8, x, bottom, **rule))
        parts.append(svg.words(x, HEAD - 13, text, text_anchor="middle", font_size=TICK_SIZE))
    return "".join(parts)


def _row(row: Bar, name: str, y: float, scales: tuple[Scale, Scale]) -> str:
    shares, retentions = scales
    length = shares.at(max(row.share, 0.0)) - shares.start
    drawn = [
        svg.words(shares.start - 8, y + 4, name, text_anchor="end"),
        svg.element(
            "rect",
            x=shares.start,
            y=y - THICK / 2,
            width=length,
            height=THICK,
            class_="fig-bar",
            fill="currentColor",
            fill_opacity=0.55,
        ),
        svg.words(shares.start + length + 5, y + 4, f"{row.share:.3f} {row.note}", font_size=svg.SMALL_SIZE),
    ]
    told = f"{row.label}: share {row.share:.4g}" + (f", {row.note}" if row.note else "")
    if row.retention is not None:
        told += f", retention {row.retention:.4g}"
        drawn.append(marker("diamond", retentions.at(row.retention), y))
    return svg.link(row.href, svg.group(*drawn, title=told))


def _description(rows: Sequence[Bar]) -> str:
    largest = max(rows, key=lambda row: row.share)
    return f"{len(rows)} founders. The largest share, {largest.share:.4g}, is that of {largest.label}."
