"""Codes to stick on a tube: a QR symbol (ISO/IEC 18004) of a number, as SVG."""

import segno
from django.utils.safestring import SafeString, mark_safe


def symbol(text: str) -> SafeString:
    """Return the symbol of a text; dark on light whatever the page's theme, sharp at any size."""
    drawn = segno.make(text, error="m", micro=False, boost_error=False)
    look = {"omitsize": True, "border": 4, "dark": "#000", "light": "#fff", "svgclass": None, "lineclass": None}
    svg = drawn.svg_inline(**look, title=text)
    return mark_safe(svg)  # noqa: S308  (segno escapes the title)
