"""The symbols of a pedigree, in the published standard nomenclature: square male, circle female, diamond unknown sex,
slash through the dead, a number inside for several sibs, an arrow to the one the picture is about.

Source: Bennett et al. 1995, Am. J. Hum. Genet. 56: 745; Bennett et al. 2008, J. Genet. Couns. 17: 424.
"""

import math
from collections.abc import Iterable

from breeding.figures.parts import svg
from breeding.figures.parts.axes import whole
from breeding.figures.parts.lettering import text_width, wrapped
from breeding.figures.pedigree.families import ChartFish

HALF = 14.0  # half the width and height of a symbol
LABEL_SIZE, NOTE_SIZE, LABEL_STEP = 12.0, 10.5, 14.0
LABEL_TOP = 20.0  # from the centre of a symbol to the top of its words
CHANNEL = 12.0  # free strip on either side of a symbol's words, where lines go down
NARROWEST, WIDEST = 64.0, 118.0
COUNT_INSIDE = 999  # larger numbers do not fit: the symbol shows n, the words tell the number

SEX_WORDS = {"M": "male", "F": "female"}


def labels(fish: ChartFish, room: float) -> list[tuple[str, float]]:
    """The lines under a symbol, each with its letter size."""
    names = wrapped(svg.clean(fish.label) or fish.key, LABEL_SIZE, room, 2)
    notes = [
        *(["founder"] if fish.founder else []),
        *([f"{whole(fish.count)} sibs"] if fish.count > COUNT_INSIDE else []),
    ]
    notes += wrapped(svg.clean(fish.note), NOTE_SIZE, room, 2)
    return [(name, LABEL_SIZE) for name in names] + [(note, NOTE_SIZE) for note in notes]


def room_needed(fish: Iterable[ChartFish]) -> float:
    """Width for each symbol with its words and the channels beside them; one for all, so that lines run straight."""
    lines = [line for one in fish for line in labels(one, WIDEST - 2 * CHANNEL)]
    widest = max(text_width(line, size) for line, size in lines)
    return min(max(widest + 2 * CHANNEL, NARROWEST), WIDEST)


def label_height(fish: Iterable[ChartFish], room: float) -> float:
    """Height from the centre of a row's symbols to below its words."""
    lines = [len(labels(one, room - 2 * CHANNEL)) for one in fish]
    return LABEL_TOP + LABEL_STEP * max(lines, default=0) + 4


def edge(sex: str, rise: float) -> float:
    """Half the width of the symbol at `rise` above or below its centre."""
    if sex == "M":
        return HALF
    return math.sqrt(HALF**2 - rise**2) if sex == "F" else HALF - abs(rise)


def full_words(fish: ChartFish) -> str:
    """Everything that the symbol says, as words."""
    parts = [svg.clean(fish.label) or fish.key, SEX_WORDS.get(fish.sex, "sex unknown")]
    parts += ["dead"] if fish.dead else []
    parts += ["founder"] if fish.founder else []
    parts += [f"{fish.count} sibs"] if fish.count > 1 else []
    parts += [svg.clean(fish.note)] if fish.note else []
    return ", ".join(parts)


def symbol(fish: ChartFish, centre: tuple[float, float], room: float, *, focus: bool) -> str:
    """One fish with its words; a link where it has an address."""
    x, y = centre
    shapes = [_outline(fish.sex, x, y, 2.5 if focus else 1.5)]
    if fish.count > 1:
        inside = str(fish.count) if fish.count <= COUNT_INSIDE else "n"
        shapes.append(svg.words(x, y + 4, inside, text_anchor="middle", font_size=NOTE_SIZE))
    if fish.dead:
        shapes.append(svg.line(x - 18, y + 18, x + 18, y - 18, stroke_width=1.5))
    if focus:
        shapes.append(_arrow(x, y))
    for place, (line, size) in enumerate(labels(fish, room - 2 * CHANNEL)):
        kind = {"font_weight": "bold"} if focus and size == LABEL_SIZE else {}
        kind |= {"class_": "fig-ink fig-quiet"} if size == NOTE_SIZE else {}
        baseline = y + LABEL_TOP + 10 + LABEL_STEP * place
        shapes.append(svg.words(x, baseline, line, text_anchor="middle", font_size=size, **kind))
    return svg.link(fish.href, svg.group(*shapes, title=full_words(fish), class_="fig-fish"))


def _outline(sex: str, x: float, y: float, thickness: float) -> str:
    pen = {"class_": "fig-symbol", "fill": "none", "stroke": "currentColor", "stroke_width": thickness}
    # Without pointer-events an unfilled shape would catch a click on its outline only.
    pen |= {"pointer_events": "all"}
    if sex == "M":
        return svg.element("rect", x=x - HALF, y=y - HALF, width=2 * HALF, height=2 * HALF, **pen)
    if sex == "F":
        return svg.element("circle", cx=x, cy=y, r=HALF, **pen)
    corners = [(x, y - HALF), (x + HALF, y), (x, y + HALF), (x - HALF, y)]
    return svg.element("polygon", points=" ".join(f"{svg.number(a)},{svg.number(b)}" for a, b in corners), **pen)


def _arrow(x: float, y: float) -> str:
    tip = (x - HALF - 2, y - HALF - 2)
    head = [(tip[0] - 8, tip[1] - 1), tip, (tip[0] - 1, tip[1] - 8)]
    shaft = svg.line(tip[0] - 13, tip[1] - 13, *tip, class_="fig-line fig-accent", stroke_width=1.75)
    return shaft + svg.path(head, class_="fig-line fig-accent", stroke_width=1.75)
