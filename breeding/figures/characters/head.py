"""Characters of the head: from below with the snout up, and from the side with the snout at the left."""

from collections.abc import Callable

from breeding.figures.characters.strokes import around, both, drawn, filled, outlined

TIP, MOUTH = 6.0, 66.0


def _half_width(y: float) -> float:
    """Half the width of the head from below, `y` down from the tip of the snout."""
    return 5 + (y - TIP) * 0.44


def _head_from_below() -> str:
    return around(both(f"M 60,{TIP:g} C 52,{TIP:g} 52,14 48,24 L 32,62 C 27,74 27,82 28,90"))


def _small_mouth() -> str:
    return around(f"M 48,{MOUTH:g} Q 60,58 72,{MOUTH:g} Q 60,74 48,{MOUTH:g} Z")


def _barbels(y: float, length: float = 13) -> str:
    reach = _half_width(y) * 0.78
    strokes = []
    for part in (-1.0, -0.38, 0.38, 1.0):
        x = 60 + part * reach
        strokes.append(f"M {x:g},{y:g} Q {x + part * 3:g},{y + length * 0.6:g} {x + part * 2:g},{y + length:g}")
    return drawn(" ".join(strokes), 2.6)


def _ruler(y: float) -> str:
    """A line from the tip of the snout to the mouth, crossed where the barbels are."""
    return around(f"M 104,{TIP:g} L 104,{MOUTH:g} M 100,{TIP:g} L 108,{TIP:g} M 100,{MOUTH:g} L 108,{MOUTH:g}") + drawn(
        f"M 98,{y:g} L 110,{y:g}", 3
    )


def _place(y: float, length: float = 12) -> str:
    return _head_from_below() + _small_mouth() + _barbels(y, length) + _ruler(y)


def nearer_tip() -> str:
    """The row of barbels nearer the tip of the snout than the mouth."""
    return _place(20)


def halfway() -> str:
    """The row of barbels midway between tip and mouth."""
    return _place((TIP + MOUTH) / 2)


def nearer_mouth() -> str:
    """The row of barbels nearer the mouth."""
    return _place(52, 9)


def small_mouth() -> str:
    """A small slit straight across."""
    return (
        _head_from_below()
        + _barbels(34).replace("fig-accent", "fig-quiet")
        + drawn(f"M 48,{MOUTH:g} Q 60,60 72,{MOUTH:g} Q 60,73 48,{MOUTH:g} Z")
    )


def crescent_mouth() -> str:
    """A mouth as a crescent, to the edges of the head."""
    return (
        _head_from_below()
        + _barbels(30).replace("fig-accent", "fig-quiet")
        + drawn("M 33,80 Q 60,24 87,80 Q 60,48 33,80 Z")
    )


def _mouth_near() -> str:
    """The mouth seen close: the upper lip and the opening."""
    return around("M 18,34 Q 60,4 102,34 Q 60,22 18,34 Z M 18,34 Q 60,62 102,34")


def lip_cut() -> str:
    """The lower lip as two pieces with a gap in the middle."""
    return _mouth_near() + drawn(both("M 16,44 Q 28,66 46,70"), 8)


def lip_whole() -> str:
    """The lower lip as one band."""
    return _mouth_near() + drawn("M 16,44 Q 30,72 60,72 Q 90,72 104,44", 8)


def lip_partly() -> str:
    """The lower lip nearly cut: thick at the sides, a thread in the middle."""
    return _mouth_near() + drawn(both("M 16,44 Q 28,66 46,70"), 8) + drawn("M 46,70 Q 60,74 74,70", 2)


def _throat() -> str:
    return around(both("M 22,4 C 14,30 14,60 20,88") + " M 46,16 Q 60,8 74,16")


def membranes_on_isthmus() -> str:
    """Each gill membrane ends at the isthmus, by itself."""
    return _throat() + around(both("M 53,38 L 51,88")) + drawn(both("M 22,40 Q 30,66 52,58"))


def membranes_free() -> str:
    """The membranes joined to one fold that crosses the isthmus."""
    return (
        _throat()
        + around(both("M 53,70 L 51,88"))
        + drawn("M 22,36 Q 34,66 60,66 Q 86,66 98,36")
        + around("M 30,58 Q 44,74 60,74 Q 76,74 90,58")
    )


def _barbel_outline() -> str:
    return outlined("M 10,34 C 44,30 84,40 112,60 C 84,54 44,50 10,52 Z")


def _fringe(start: int, step: int = 8, long: float = 12) -> str:
    hairs = []
    for x in range(start, 106, step):
        y = 51 + (x - 10) * 0.05
        hairs.append(f"M {x},{y:g} L {x + 4},{y + long:g}")
    return drawn(" ".join(hairs), 2.2)


def barbel_smooth() -> str:
    """A barbel, round and plain."""
    return _barbel_outline()


def barbel_fringed() -> str:
    """A barbel with a fringe along its whole hind edge."""
    return _barbel_outline() + _fringe(18, 7, 15)


def barbel_partly_fringed() -> str:
    """A barbel with a few short hairs near its end."""
    return _barbel_outline() + _fringe(66, 10, 7)


def barbel_leaf() -> str:
    """A barbel flattened like a leaf."""
    return outlined("M 8,44 C 30,12 84,14 112,48 C 84,78 30,74 8,44 Z") + around("M 14,45 Q 60,40 106,48")


def _profile(eye: float = 78) -> str:
    head = "M 4,58 C 30,36 66,20 116,16 M 4,58 C 34,66 74,72 116,80"
    return around(f"{head} M {eye + 6:g},42 a 6,6 0 1 0 -12,0 a 6,6 0 1 0 12,0")


def nostrils_two() -> str:
    """Two openings before the eye, a bridge of skin between them."""
    return (
        _profile()
        + filled("M 51,46 a 5,4 0 1 0 10,0 a 5,4 0 1 0 -10,0")
        + filled("M 52,58 a 6,5 0 1 0 12,0 a 6,5 0 1 0 -12,0")
    )


def nostrils_one() -> str:
    """A single opening before the eye."""
    return _profile() + filled("M 51,51 a 6,7 0 1 0 12,0 a 6,7 0 1 0 -12,0")


def snout(percent: float) -> str:
    """A head whose snout is `percent` of its length, with both lengths marked."""
    left, right = 6.0, 114.0
    eye = left + (right - left) * min(max(percent, 15), 75) / 100
    depth = 24 - eye * 0.1
    head = (
        f"M {left:g},48 C {eye * 0.6:g},{44 - depth * 0.2:g} {eye:g},{36 - depth * 0.3:g} {right:g},14 "
        f"M {left:g},48 C {eye * 0.6:g},54 {eye:g},58 {right:g},62"
    )
    cover = f"M {right:g},14 Q {right - 14:g},38 {right:g},62"
    eye_ring = f"M {eye + 10:g},40 a 5,5 0 1 0 -10,0 a 5,5 0 1 0 10,0"
    whole = f"M {left:g},84 L {right:g},84 M {left:g},80 L {left:g},88 M {right:g},80 L {right:g},88"
    return around(f"{head} {cover} {eye_ring} {whole}") + drawn(
        f"M {left:g},72 L {eye:g},72 M {left:g},67 L {left:g},77 M {eye:g},67 L {eye:g},77"
    )


LOOKS: dict[tuple[str, str], Callable[[], str]] = {
    ("mouth", "small"): small_mouth,
    ("mouth", "crescent"): crescent_mouth,
    ("gill_membranes", "isthmus"): membranes_on_isthmus,
    ("gill_membranes", "free"): membranes_free,
    ("lower_lip", "cut"): lip_cut,
    ("lower_lip", "whole"): lip_whole,
    ("lower_lip", "partly"): lip_partly,
    ("barbel_form", "smooth"): barbel_smooth,
    ("barbel_form", "fringed"): barbel_fringed,
    ("barbel_form", "leaf"): barbel_leaf,
    ("barbel_form", "partly_fringed"): barbel_partly_fringed,
    ("barbel_place", "nearer_tip"): nearer_tip,
    ("barbel_place", "halfway"): halfway,
    ("barbel_place", "nearer_mouth"): nearer_mouth,
    ("nostrils", "two"): nostrils_two,
    ("nostrils", "one"): nostrils_one,
}
