"""SVG as text: the few elements that the pictures need, escaped, finite, without style or script.

Colours come from the site's style sheet by class (`fig-line`, `fig-ink`, `fig-accent`, …); the attributes written
here give black on white, so that the file prints well on its own.
"""

import math
import re

FONT = "system-ui, 'Segoe UI', Helvetica, Arial, sans-serif"
TEXT_SIZE = 13
SMALL_SIZE = 11

# XML 1.0 (Fifth Edition), production 2 "Char": whatever is outside these ranges may not stand in a document.
FORBIDDEN_IN_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
# Controls that XML allows but that turn or hide what a reader sees.
INVISIBLE = re.compile("[\u007f-\u009f\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]")
ENTITIES = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"}
SAFE_PREFIX = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")
SAFE_ADDRESS = re.compile(r"(https?://|/(?!/)|#|\?)")


def clean(text: object) -> str:
    """The text on one line, without characters that XML forbids or that no reader can see."""
    visible = INVISIBLE.sub("", FORBIDDEN_IN_XML.sub("", str(text)))
    return " ".join(visible.split())


def escaped(text: object) -> str:
    """The cleaned text, safe between tags and inside a quoted attribute."""
    return "".join(ENTITIES.get(letter, letter) for letter in clean(text))


def number(value: float) -> str:
    """A coordinate with at most two decimals. Refuses what is not finite."""
    if not math.isfinite(value):
        raise ValueError(f"A picture cannot show the value {value}. Leave the point out or give a finite number.")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(name: str, *inside: str, **attributes: object) -> str:
    """One element. `inside` is SVG already; attributes are escaped, `_` in their names becomes `-`, None drops one."""
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_attribute(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{written}>{''.join(inside)}</{name}>" if inside else f"<{name}{written}/>"


def _attribute(value: object) -> str:
    return number(value) if isinstance(value, int | float) else escaped(value)


def words(x: float, y: float, text: object, **attributes: object) -> str:
    """A line of text with its baseline at (x, y)."""
    settings = {"class_": "fig-ink", "font_size": TEXT_SIZE, "fill": "currentColor"} | attributes
    return element("text", escaped(text), x=x, y=y, **settings)


def line(x1: float, y1: float, x2: float, y2: float, **attributes: object) -> str:
    """A straight stroke."""
    settings = {"class_": "fig-line", "stroke": "currentColor", "stroke_width": 1.25} | attributes
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, **settings)


def path(points: list[tuple[float, float]], **attributes: object) -> str:
    """An open stroke through the points."""
    settings = {"class_": "fig-line", "fill": "none", "stroke": "currentColor", "stroke_width": 1.25} | attributes
    return element("polyline", points=" ".join(f"{number(x)},{number(y)}" for x, y in points), **settings)


def link(address: str, *inside: str) -> str:
    """The drawing as a link; without an address, the drawing as it is."""
    if not address:
        return "".join(inside)
    if not SAFE_ADDRESS.match(address):
        raise ValueError(f"The address {clean(address)!r} cannot be a link: it must start with /, ?, # or https://.")
    return element("a", *inside, href=address, class_="fig-link")


def group(*inside: str, title: object = "", **attributes: object) -> str:
    """Shapes that belong together, with the full words for whoever points at them."""
    named = (element("title", escaped(title)),) if title else ()
    return element("g", *named, *inside, **attributes)


def picture(size: tuple[float, float], body: str, about: tuple[str, str], prefix: str) -> str:
    """The whole `<svg>`; `about` is (title, description), `prefix` keeps ids apart when a page shows several pictures.

    A picture that holds links is a group to a screen reader: inside role="img" nobody would hear the links.
    """
    if not SAFE_PREFIX.match(prefix):
        raise ValueError(f"The id prefix {prefix!r} must be a letter followed by letters, digits, - or _.")
    width, height = size
    title, description = f"{prefix}-title", f"{prefix}-desc"
    return element(
        "svg",
        element("title", escaped(about[0]), id=title),
        element("desc", escaped(about[1]), id=description),
        body,
        xmlns="http://www.w3.org/2000/svg",
        class_="fig",
        role="group" if "<a " in body else "img",
        aria_labelledby=title,
        aria_describedby=description,
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        font_family=FONT,
        font_size=TEXT_SIZE,
    )


def empty_picture(missing: str, title: str, prefix: str) -> str:
    """A small picture that says what is missing."""
    body = line(0, 1, 420, 1, class_="fig-rule") + words(0, 30, missing, class_="fig-ink fig-quiet")
    return picture((420, 44), body, (title, missing), prefix)
