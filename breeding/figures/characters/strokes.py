"""The pen of the character drawings: what frames a character is thin and faint, the character itself thick."""

from breeding.figures.parts.svg import element

WIDTH, HEIGHT = 120.0, 90.0


def _pen(d: str, kind: str, width: float, fill: str, opacity: float | None = None) -> str:
    return element(
        "path",
        d=d,
        class_=kind,
        fill=fill,
        fill_opacity=opacity,
        stroke="currentColor",
        stroke_width=width,
        stroke_linecap="round",
        stroke_linejoin="round",
    )


def around(d: str) -> str:
    """What the character sits on: the outline of a head, a fin, a flank."""
    return _pen(d, "fig-quiet", 1.5, "none")


def drawn(d: str, width: float = 3.0) -> str:
    """The character itself as a stroke."""
    return _pen(d, "fig-accent", width, "none")


def filled(d: str) -> str:
    """The character itself as a full shape."""
    return _pen(d, "fig-accent", 1.5, "currentColor")


def outlined(d: str) -> str:
    """The character itself as an open shape."""
    return _pen(d, "fig-accent", 2.0, "none")


def tinted(d: str) -> str:
    """A coloured surface: skin, the web of a fin."""
    return element("path", d=d, class_="fig-ink", fill="currentColor", fill_opacity=0.28)


def both(d_left: str) -> str:
    """A path of the left half and its mirror image; absolute coordinates `x,y` only."""
    return f"{d_left} {mirrored(d_left)}"


def mirrored(d: str) -> str:
    """The path mirrored at the middle of the drawing; its commands hold pairs `x,y` only."""
    parts = []
    for token in d.split():
        x, comma, y = token.partition(",")
        parts.append(f"{WIDTH - float(x):g},{y}" if comma else token)
    return " ".join(parts)
