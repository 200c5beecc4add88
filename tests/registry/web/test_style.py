"""The look is read in bad light and by everyone: contrast in both themes, and colours for every figure class.

Contrast: Web Content Accessibility Guidelines 2.2 (W3C), "relative luminance", "contrast ratio", success criteria
1.4.3 (text 4.5 : 1) and 1.4.11 (edges of controls 3 : 1).
"""

import re

import pytest

from tests.support.sources import ROOT, files

STYLE = ROOT / "registry" / "static" / "registry"
TOKEN = re.compile(r"--([a-z-]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\);")
DAY, NIGHT = 0, 1


def tokens(theme):
    found = TOKEN.findall((STYLE / "base.css").read_text(encoding="utf-8"))
    return {name: colours[theme] for name, *colours in found}


def luminance(colour):
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_black_on_white_has_the_contrast_of_the_definition():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("theme", [DAY, NIGHT])
@pytest.mark.parametrize(
    ("text", "ground"),
    [
        ("ink", "paper"), ("ink", "leaf"), ("ink", "stop-leaf"), ("faint", "paper"), ("faint", "leaf"),
        ("accent", "paper"), ("accent", "leaf"), ("on-accent", "accent"), ("stop", "paper"), ("stop", "stop-leaf"),
    ],
)  # fmt: skip
def test_text_is_read_in_both_themes(theme, text, ground):
    colours = tokens(theme)

    assert contrast(colours[text], colours[ground]) >= 4.5


@pytest.mark.parametrize("theme", [DAY, NIGHT])
def test_the_edges_of_fields_are_seen_in_both_themes(theme):
    colours = tokens(theme)

    assert contrast(colours["edge"], colours["paper"]) >= 3


def test_no_colour_is_written_but_as_a_token():
    stray = re.compile(r"#[0-9a-f]{3,8}\b|\brgba?\((?!0 0 0)|\bhsl")
    sheets = {path.name: path.read_text(encoding="utf-8") for path in STYLE.glob("*.css") if path.name != "print.css"}
    lines = [line for text in sheets.values() for line in text.splitlines() if not line.strip().startswith("--")]

    assert [line for line in lines if stray.search(line) and "light-dark(" not in line] == []


# Hold other shapes, or differ by opacity alone: no colour of their own.
COLOURLESS = {"fig-fish", "fig-lines", "fig-card", "fig-step-"}


def test_every_class_of_the_figures_has_its_colour():
    drawn = "".join(path.read_text(encoding="utf-8") for path in files(".py", "breeding/figures"))
    used = set(re.findall(r"\bfig-[a-z0-9-]+", drawn)) - COLOURLESS
    styled = (STYLE / "figures.css").read_text(encoding="utf-8")

    assert len(used) > 6
    assert [name for name in used if f".{name}" not in styled] == []
