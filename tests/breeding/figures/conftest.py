"""Reads a picture back: what every picture must be, and the words, lines and boxes in it."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from breeding.figures.parts.lettering import text_width

SVG = "{http://www.w3.org/2000/svg}"
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Picture:
    """A parsed picture."""

    root: ElementTree.Element
    source: str

    @property
    def words(self) -> list[str]:
        """Every line of text that is drawn."""
        return [one.text or "" for one in self.root.iter(f"{SVG}text")]

    @property
    def title(self) -> str:
        """The title of the whole picture."""
        return self.root.findtext(f"{SVG}title") or ""

    @property
    def description(self) -> str:
        """What is read to whoever cannot see it."""
        return self.root.findtext(f"{SVG}desc") or ""

    def each(self, name: str, kind: str = "") -> list[ElementTree.Element]:
        """Elements of one name, of one class if given."""
        return [one for one in self.root.iter(f"{SVG}{name}") if not kind or kind in one.get("class", "").split()]

    def text_boxes(self) -> list[Box]:
        """(left, top, right, bottom) of every upright line of text."""
        return [_box(one) for one in self.each("text") if one.get("transform") is None]

    def overlapping_words(self) -> list[tuple[str, str]]:
        """Pairs of texts that lie on each other."""
        found = [(one.text or "", _box(one)) for one in self.each("text") if one.get("transform") is None]
        return [
            (a, b)
            for place, (a, first) in enumerate(found)
            for b, second in found[:place]
            if min(first[2], second[2]) - max(first[0], second[0]) > 1
            and min(first[3], second[3]) - max(first[1], second[1]) > 1
        ]

    def lines_on_lines(self) -> list[tuple[Box, Box]]:
        """Pairs of strokes of the figure's lines that run on each other for more than a point."""
        strokes = [one for lines in self.each("g", "fig-lines") for stroke in lines.iter() for one in _segments(stroke)]
        return [
            (one, other)
            for place, one in enumerate(strokes)
            for other in strokes[:place]
            if (one[1] == one[3] == other[1] == other[3] and min(one[2], other[2]) - max(one[0], other[0]) > 1)
            or (one[0] == one[2] == other[0] == other[2] and min(one[3], other[3]) - max(one[1], other[1]) > 1)
        ]

    def struck_words(self) -> list[str]:
        """Texts through which a right-angled stroke of the figure's lines runs."""
        strokes = [one for lines in self.each("g", "fig-lines") for stroke in lines.iter() for one in _segments(stroke)]
        return [
            text.text or ""
            for text in self.each("text")
            for left, top, right, bottom in [_box(text)]
            if any(a < right - 1 and c > left + 1 and b < bottom - 1 and d > top + 1 for a, b, c, d in strokes)
        ]


def _segments(stroke: ElementTree.Element) -> list[Box]:
    if stroke.tag == f"{SVG}line":
        ends = [(float(stroke.get(f"x{at}", "0")), float(stroke.get(f"y{at}", "0"))) for at in (1, 2)]
    elif stroke.tag == f"{SVG}polyline":
        ends = [(float(x), float(y)) for x, y in (one.split(",") for one in stroke.get("points", "").split())]
    else:
        return []
    return [(min(a, c), min(b, d), max(a, c), max(b, d)) for (a, b), (c, d) in pairwise(ends)]


def _box(text: ElementTree.Element) -> Box:
    size = float(text.get("font-size", "13"))
    x, y = float(text.get("x", "0")), float(text.get("y", "0"))
    # The estimate is rather wide; nine tenths of it is what a browser draws.
    width = 0.9 * text_width(text.text or "", size)
    left = {"middle": x - width / 2, "end": x - width}.get(text.get("text-anchor", "start"), x)
    return left, y - 0.75 * size, left + width, y + 0.2 * size


@pytest.fixture
def drawn() -> Callable[[str], Picture]:
    """Parses a picture and holds it to what every picture promises."""

    def read(source: str) -> Picture:
        root = ElementTree.fromstring(source)
        picture = Picture(root, source)
        assert root.tag == f"{SVG}svg"
        assert root.get("role") == ("group" if picture.each("a") else "img")
        assert picture.title
        assert picture.description
        ids = [one.get("id") for one in root.iter() if one.get("id")]
        assert len(ids) == len(set(ids)) == 2
        assert {root.get("aria-labelledby"), root.get("aria-describedby")} == set(ids)
        assert not any(one.get("style") or one.tag in (f"{SVG}style", f"{SVG}script") for one in root.iter())
        assert not any(name.startswith("on") for one in root.iter() for name in one.attrib)
        assert not re.search(r'="[^"]*\b(nan|inf)\b[^"]*"', re.sub(r"<(title|desc)[^>]*>[^<]*", "", source), re.I)
        _, _, width, height = map(float, root.get("viewBox", "").split())
        for left, top, right, bottom in picture.text_boxes():
            assert left >= -1
            assert top >= -1
            assert right <= width + 1
            assert bottom <= height + 1
        return picture

    return read
