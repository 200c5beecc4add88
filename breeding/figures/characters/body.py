"""Characters of the body: rows of scutes, skin, fins, gill rakers; the fish looks to the left."""

from collections.abc import Callable

from breeding.figures.characters.strokes import around, drawn, filled, outlined, tinted

BACK = "M 2,52 Q 18,42 30,38 Q 70,32 118,44"


def _scute(x: float, base: float, width: float, height: float) -> str:
    return f"M {x:g},{base:g} L {x + width * 0.62:g},{base - height:g} L {x + width:g},{base:g} Z"


def _row(sizes: tuple[float, ...], start: float) -> str:
    shapes, x = [], start
    for size in sizes:
        shapes.append(_scute(x, 44, size, size * 0.95))
        x += size + 3
    return " ".join(shapes)


def _nape() -> str:
    """The head at the left and the line of the back."""
    return around("M 2,64 Q 12,46 34,44 L 118,44 M 34,44 Q 28,60 36,78")


def first_plain() -> str:
    """The first plate much like those behind it, free of the head."""
    return _nape() + filled(_row((15,), 42)) + outlined(_row((15, 15, 15), 60))


def first_smallest() -> str:
    """The first plate the smallest of the row."""
    return _nape() + filled(_row((7,), 42)) + outlined(_row((15, 16, 16), 53))


def first_joined() -> str:
    """The first plate the largest, rising straight from the head."""
    joined = "M 26,45 L 50,16 L 62,44 Z"
    return _nape() + filled(joined) + outlined(_row((16, 15), 68))


def _diamond(x: float, y: float, width: float, height: float) -> str:
    w, h = width / 2, height / 2
    return f"M {x - w:g},{y:g} L {x:g},{y - h:g} L {x + w:g},{y:g} L {x:g},{y + h:g} Z"


def _flank(scutes: str) -> str:
    """A tinted flank; what is inside `scutes` is left free of the tint (even–odd)."""
    skin = f"M 4,8 L 116,8 L 116,82 L 4,82 Z {scutes}"
    return tinted(skin).replace("<path", '<path fill-rule="evenodd"')


def _lateral(n: int = 7) -> str:
    return " ".join(_diamond(12 + 16 * k, 45, 14, 30) for k in range(n))


def scutes_lighter() -> str:
    """The lateral row stands out light against the skin."""
    return _flank(_lateral()) + outlined(_lateral())


def scutes_of_body_colour() -> str:
    """The lateral row has the colour of the skin."""
    return _flank("") + outlined(_lateral())


def _between() -> str:
    """Two rows of scutes, above and below the skin that is looked at."""
    above = " ".join(_diamond(16 + 22 * k, 8, 16, 12) for k in range(5))
    below = " ".join(_diamond(16 + 22 * k, 82, 16, 12) for k in range(5))
    return around(f"{above} {below}")


def _spread() -> list[tuple[float, float, int]]:
    """Places for small plates, spread evenly but not in rows, each with a size from 0 to 2."""
    return [
        (10 + 11.5 * k + (row % 2) * 5.5, 22 + row * 11.5 + (k * 7 % 5 - 2) * 0.8, (k * 5 + row * 3) % 3)
        for row in range(5)
        for k in range(9)
    ]


def skin_bare() -> str:
    """Nothing between the rows."""
    return _between()


def skin_grains() -> str:
    """Small plates and grains between the rows."""
    dots = [f"M {x - 1.6:g},{y:g} a 1.6,1.6 0 1 0 3.2,0 a 1.6,1.6 0 1 0 -3.2,0" for x, y, _ in _spread()]
    return _between() + filled(" ".join(dots))


def skin_stars() -> str:
    """Star-shaped plates of mixed sizes between the rows."""
    arms = []
    for n, (x, y, size) in enumerate(_spread()):
        if n % 2:
            continue
        r = (2.4, 4.0, 6.2)[size]
        across, up = r * 0.5, r * 0.87
        arms.append(f"M {x - r:g},{y:g} L {x + r:g},{y:g}")
        arms.append(f"M {x - across:g},{y - up:g} L {x + across:g},{y + up:g}")
        arms.append(f"M {x + across:g},{y - up:g} L {x - across:g},{y + up:g}")
    return _between() + drawn(" ".join(arms), 1.6)


def skin_rhombs() -> str:
    """Dense slanting rows of small rhombic plates between the rows."""
    plates = [
        _diamond(12 + 10 * k + (row % 2) * 5, 22 + row * 9.2, 9, 8) for row in range(6) for k in range(10 - row % 2)
    ]
    return _between() + outlined(" ".join(plates)).replace('stroke-width="2"', 'stroke-width="1.4"')


FIN = "M 18,66 C 30,30 62,10 112,12 C 112,46 84,74 30,80 Z"
FIN_WITHIN = "M 18,66 C 30,34 56,20 98,22 C 96,46 76,66 30,74 Z"
RAYS = "M 24,70 L 96,26 M 24,72 L 98,34 M 25,73 L 96,44 M 26,75 L 86,56 M 22,68 L 84,24 M 21,66 L 66,26"


def seams_white() -> str:
    """A fin whose outer edge is white."""
    return tinted(FIN_WITHIN) + around(RAYS) + outlined(FIN) + drawn(FIN_WITHIN, 1.2)


def seams_none() -> str:
    """A fin of one colour up to its edge."""
    return tinted(FIN) + around(RAYS) + outlined(FIN)


def _arch() -> str:
    return around("M 6,80 Q 60,62 114,80")


def rakers_rod() -> str:
    """Rakers like rods."""
    return _arch() + drawn("M 24,72 L 24,20 M 48,68 L 48,16 M 72,68 L 72,16 M 96,72 L 96,20", 6)


def rakers_single() -> str:
    """Rakers with one tip."""
    tips = [f"M {x},70 L {x + 8},18 L {x + 16},70 Z" for x in (16, 40, 64, 88)]
    return _arch() + outlined(" ".join(tips))


def rakers_fan() -> str:
    """Rakers like fans, with several knobs."""
    fans = []
    for x in (32, 60, 88):
        fans.append(f"M {x},72 L {x - 12},30 M {x},72 L {x - 4},22 M {x},72 L {x + 4},22 M {x},72 L {x + 12},30")
    knobs = " ".join(
        f"M {x + dx - 2.4:g},{y} a 2.4,2.4 0 1 0 4.8,0 a 2.4,2.4 0 1 0 -4.8,0"
        for x in (32, 60, 88)
        for dx, y in ((-12, 30), (-4, 21), (4, 21), (12, 30))
    )
    return _arch() + drawn(" ".join(fans), 2) + filled(knobs)


def rakers_lance() -> str:
    """Rakers like lances: narrow at the foot, broader, then pointed."""
    lances = [f"M {x + 8},72 Q {x - 2},44 {x + 8},12 Q {x + 18},44 {x + 8},72 Z" for x in (16, 40, 64, 88)]
    return _arch() + outlined(" ".join(lances))


FISH = (
    "M 2,50 Q 14,40 30,38 Q 60,32 84,40 L 92,30 L 94,42 L 104,45 L 118,26 L 111,48 L 114,60 L 102,52 "
    "Q 96,54 92,54 L 86,64 L 82,55 Q 50,62 26,58 Q 10,57 2,50 Z M 28,39 Q 23,48 28,57"
)
WHERE: dict[str, str] = {
    "dorsal_scutes": drawn(" ".join(_scute(32 + 8.4 * k, 37 - (1.5 - abs(2.6 - k) * 0.5), 6, 7) for k in range(6)), 2),
    "lateral_scutes": drawn(" ".join(_diamond(33 + 6.6 * k, 48, 4.6, 7) for k in range(11)), 1.8),
    "ventral_scutes": drawn(" ".join(_diamond(36 + 7 * k, 58.5 - k * 0.35, 5, 4.5) for k in range(6)), 1.8),
    "dorsal_rays": drawn("M 84,40 L 92,30 L 94,42 M 87,41 L 92,32 M 90,41 L 92.6,33", 2),
    "anal_rays": drawn("M 92,54 L 86,64 L 82,55 M 89,54 L 86,62 M 85,55 L 86,62", 2),
    "gill_rakers": drawn("M 29,40 Q 22,48 29,56", 4),
}


def where(character: str) -> str:
    """The whole fish, with the row or fin that is counted."""
    return around(FISH) + WHERE[character]


LOOKS: dict[tuple[str, str], Callable[[], str]] = {
    ("first_scute", "plain"): first_plain,
    ("first_scute", "smallest"): first_smallest,
    ("first_scute", "joined"): first_joined,
    ("scute_colour", "lighter"): scutes_lighter,
    ("scute_colour", "body"): scutes_of_body_colour,
    ("skin", "bare"): skin_bare,
    ("skin", "grains"): skin_grains,
    ("skin", "stars"): skin_stars,
    ("skin", "rhombs"): skin_rhombs,
    ("fin_seams", "white"): seams_white,
    ("fin_seams", "none"): seams_none,
    ("raker_form", "rod"): rakers_rod,
    ("raker_form", "single"): rakers_single,
    ("raker_form", "fan"): rakers_fan,
    ("raker_form", "lance"): rakers_lance,
}
