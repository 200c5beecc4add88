"""The pedigree picture: a fish, its ancestors above it and its young below, as one `<svg>`.

Symbols: Bennett et al. 1995, 2008 (see `pedigree.symbols`). Related parents are joined by a double line; possible
parents by dashed lines with their probability.
"""

from collections.abc import Sequence

from breeding.figures.parts import svg
from breeding.figures.parts.axes import whole
from breeding.figures.parts.lettering import wrapped
from breeding.figures.pedigree.families import (
    ChartFish,
    ChartPair,
    Sibship,
    checked,
    generations,
    sibships,
    with_few_young,
)
from breeding.figures.pedigree.layout import laid_out
from breeding.figures.pedigree.strokes import EDGE, Sheet, strokes
from breeding.figures.pedigree.symbols import room_needed, symbol

__all__ = ["ChartFish", "ChartPair", "pedigree_chart"]

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
    families = sibships(kept, rows)
    layout = laid_out(room_needed(shown), rows, families)
    by_key = {one.key: one for one in shown}
    sheet = Sheet(layout, by_key)
    symbols = [
        symbol(one, (sheet.x(one.key), sheet.y(rows[one.key])), layout.widths[one.key], focus=one.key == focus)
        for one in shown
    ]
    hidden = left_out + more_young
    below, bottom = _foot(shown, families, hidden, (sheet.width, sheet.bottom))
    body = svg.group(strokes(sheet), class_="fig-lines") + "".join(symbols) + below
    about = (f"Pedigree of {by_key[focus].label}", _description(by_key, kept, focus, hidden))
    return svg.picture((sheet.width, bottom), body, about, prefix)


def _foot(
    fish: Sequence[ChartFish], families: Sequence[Sibship], hidden: int, corner: tuple[float, float]
) -> tuple[str, float]:
    """What is not drawn and what the signs mean, in words; and where the picture ends."""
    width, y = corner
    lines = [f"and {whole(hidden)} more young"] if hidden else []
    for sentence in _legend(fish, families):
        lines += wrapped(sentence, svg.SMALL_SIZE, width - 2 * EDGE, 4)
    parts = []
    for place, text in enumerate(lines):
        quiet = "fig-ink" if hidden and place == 0 else "fig-ink fig-quiet"
        parts.append(svg.words(EDGE, y + LEGEND_STEP * (place + 1), text, font_size=svg.SMALL_SIZE, class_=quiet))
    return "".join(parts), y + LEGEND_STEP * len(lines) + EDGE


def _legend(fish: Sequence[ChartFish], families: Sequence[Sibship]) -> list[str]:
    sexes = {one.sex if one.sex in ("M", "F") else "" for one in fish}
    origins = [origin for family in families for origin in family.origins]
    has: list[tuple[bool, str]] = [
        ("M" in sexes, "square: male"),
        ("F" in sexes, "circle: female"),
        ("" in sexes, "diamond: sex unknown"),
        (any(one.dead for one in fish), "slash: dead"),
        (any(one.count > 1 for one in fish), "number or n inside: several sibs"),
        (any(origin.probability < 1 for origin in origins), "dashed: possible parents with their probability"),
        (any(origin.related for origin in origins), "double line: related parents"),
    ]
    text = " · ".join(words for present, words in has if present)
    return [text[:1].upper() + text[1:]]


def _description(by_key: dict[str, ChartFish], pairs: Sequence[ChartPair], focus: str, hidden: int) -> str:
    """The nearest relatives in sentences, for whoever cannot see the picture."""

    def name(key: str | None) -> str:
        return svg.clean(by_key[key].label) if key else "unknown"

    own = [pair for pair in pairs if pair.child == focus]
    parts = [
        f"Dam {name(pair.dam)}, sire {name(pair.sire)}"
        + (f", with probability {pair.probability:.2g}." if pair.probability < 1 else ".")
        for pair in own
    ]
    parts = parts or ["Parents unknown."]
    young = list(dict.fromkeys(pair.child for pair in pairs if focus in pair.parents))
    if young:
        parts.append(f"Young: {', '.join(map(name, young))}" + (f" and {whole(hidden)} more." if hidden else "."))
    parts.append(f"{len(by_key)} fish drawn in {1 + max(generations(by_key, pairs).values())} generations.")
    return " ".join(parts)
