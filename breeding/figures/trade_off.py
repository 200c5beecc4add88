"""Gene diversity kept against inbreeding of the young: one numbered point a plan, each a link, as one `<svg>`."""

from collections.abc import Sequence
from dataclasses import dataclass

from breeding.figures.parts import svg
from breeding.figures.parts.axes import finite, tick_words
from breeding.figures.parts.lettering import text_width
from breeding.figures.parts.plot import MARK, Panel, bottom_axis, left_axis, marker, tick_room, ticks_and_scale

WIDTH, PANEL, EDGE, HEAD, FOOT, LEGEND_STEP = 560.0, 260.0, 16.0, 34.0, 46.0, 18.0
# A finger needs room round a point that is seven units wide.
REACH = 16.0
LABEL = 12.0


@dataclass(frozen=True)
class Choice:
    """A plan that may be taken: its two figures as shares, and the address that takes it."""

    gene_diversity: float
    inbreeding: float
    address: str = ""


def trade_off(choices: Sequence[Choice], title: str, prefix: str = "trade-off", here: Choice | None = None) -> str:
    """Draws the choices, numbered in their order from 1, and as a ring the plan at hand.

    Raises
    ------
    ValueError
        A figure that is no finite number.
    """
    if not choices:
        return svg.empty_picture("No plans to choose from yet.", title, prefix)
    shown = [*choices, *([here] if here else [])]
    heights = finite([one.gene_diversity for one in shown], "Gene diversity")
    widths = finite([one.inbreeding for one in shown], "Inbreeding")
    y_ticks, up = ticks_and_scale(heights, HEAD + PANEL, HEAD)
    x_ticks, across = ticks_and_scale(widths, EDGE + tick_room(y_ticks) + REACH, WIDTH - EDGE - 10)
    panel = Panel(across, up)
    places = [(panel.x.at(one.inbreeding), panel.y.at(one.gene_diversity)) for one in choices]
    parts = [left_axis(panel, y_ticks, "gene diversity of the young")]
    parts.append(bottom_axis(panel, list(zip(x_ticks, tick_words(x_ticks), strict=True))))
    name = "mean inbreeding F of the young"
    parts.append(svg.words(panel.right, panel.bottom + 34, name, text_anchor="end", font_size=svg.SMALL_SIZE + 1))
    if len(places) > 1:
        parts.append(svg.path(sorted(places), class_="fig-line fig-series-0", stroke_width=1.5))
    free: list[float] = []
    parts += [
        _point(one, number, place, free) for number, (one, place) in enumerate(zip(choices, places, strict=True), 1)
    ]
    if here:
        parts.append(_here(here, panel))
    height = panel.bottom + FOOT + LEGEND_STEP * (2 if here else 1)
    parts += _legend(panel.bottom + FOOT, here is not None)
    return svg.picture((WIDTH, height), "".join(parts), (title, _description(choices, here)), prefix)


def _point(one: Choice, number: int, place: tuple[float, float], free: list[float]) -> str:
    """One point with its number above it, or below where the number before stands too near; `free` is kept up."""
    x, y = place
    half = text_width(str(number), LABEL) / 2 + 3
    near = sum(1 for other in free[-2:] if abs(other - x) < 2 * half)
    free.append(x)
    label = svg.words(x, y - 9 if near == 0 else y + 19, number, text_anchor="middle", font_size=LABEL)
    reach = svg.element("circle", cx=x, cy=y, r=REACH, fill="currentColor", fill_opacity=0)
    told = f"Plan {number}: gene diversity {one.gene_diversity:.4f}, mean inbreeding {one.inbreeding:.4f}"
    drawn = [reach, marker("disc", x, y, told), label if near < 2 else ""]
    return svg.group(svg.link(one.address, *drawn), class_="fig-series-0")


def _here(here: Choice, panel: Panel) -> str:
    x, y = panel.x.at(here.inbreeding), panel.y.at(here.gene_diversity)
    told = f"The plan as it stands: gene diversity {here.gene_diversity:.4f}, mean inbreeding {here.inbreeding:.4f}"
    ring = svg.element(
        "circle", cx=x, cy=y, r=MARK + 4, class_="fig-mark", fill="none", stroke="currentColor", stroke_width=2
    )
    return svg.group(ring, title=told, class_="fig-series-1")


def _legend(top: float, with_here: bool) -> list[str]:
    size = svg.SMALL_SIZE + 1
    words = svg.words(EDGE + 18, top + 4, "a plan to take, by its number in the table", font_size=size)
    rows = [svg.group(marker("disc", EDGE + 6, top), words, class_="fig-series-0")]
    if with_here:
        y = top + LEGEND_STEP
        words = svg.words(EDGE + 18, y + 4, "the plan as it stands", font_size=size)
        rows.append(svg.group(marker("ring", EDGE + 6, y), words, class_="fig-series-1"))
    return rows


def _description(choices: Sequence[Choice], here: Choice | None) -> str:
    first, last = choices[0], choices[-1]
    told = (
        f"{len(choices)} plans. From gene diversity {first.gene_diversity:.4f} at mean inbreeding "
        f"{first.inbreeding:.4f} to {last.gene_diversity:.4f} at {last.inbreeding:.4f}."
    )
    if here:
        told += f" The plan as it stands: {here.gene_diversity:.4f} at {here.inbreeding:.4f}."
    return told
