"""What is printed on a tube is read back: by zxing-cpp, a reader that has nothing to do with what drew it."""

import re

import numpy as np
import pytest
import zxingcpp

from registry.exports.labels import symbol


def seen(svg: str) -> str:
    """Return what a reader finds in a symbol, drawn as SVG strokes one unit wide: M x y, h along, m to the next."""
    side = int(re.search(r'viewBox="0 0 (\d+) \1"', svg)[1])
    strokes = re.search(r'stroke="#000"[^>]* d="([^"]+)"', svg) or re.search(r' d="(M[^"]+)"[^>]*stroke="#000"', svg)
    page, x, y = np.full((side, side), 255, np.uint8), 0.0, 0.0
    for command, numbers in re.findall(r"([Mmh])([-\d. ]+)", strokes[1]):
        values = [float(one) for one in numbers.split()]
        if command == "h":
            page[int(y), int(x) : int(x + values[0])] = 0
            x += values[0]
        else:
            x, y = values if command == "M" else (x + values[0], y + values[1])
    read = zxingcpp.read_barcodes(np.kron(page, np.ones((6, 6), np.uint8)))
    return read[0].text if read else ""


@pytest.mark.parametrize("number", ["T-W26-01", "V/2026/0001", "T 7", "Ö-12", "T-<b>&1", "x" * 40])
def test_a_label_is_read_back_as_the_number_on_it(number: str) -> None:
    assert seen(symbol(number)) == number


def test_a_label_is_sharp_at_any_size_and_harmless_whatever_the_number() -> None:
    svg = symbol("T-<b>&1")
    assert "viewBox" in svg
    assert "width=" not in svg.split(">")[0]
    assert "<b>" not in svg
    assert "style=" not in svg
