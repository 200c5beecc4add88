"""Each character of a sturgeon and each of its looks as a small line drawing, clear at the size of a thumb."""

from breeding.figures.characters import body, head
from breeding.figures.characters.strokes import HEIGHT, WIDTH
from breeding.figures.parts import svg

LOOKS = head.LOOKS | body.LOOKS
EXAMPLE_SNOUT = 45.0


def draw_look(character: str, look: str, about: tuple[str, str], prefix: str) -> str:
    """Draws one look of a character; empty when there is no drawing of it. `about` is (title, description)."""
    body_of = LOOKS.get((character, look))
    return svg.picture((WIDTH, HEIGHT), body_of(), about, prefix) if body_of else ""


def draw_number(character: str, about: tuple[str, str], prefix: str, value: float | None = None) -> str:
    """Draws where a number is counted or measured; of the snout, a head with that share. Empty without a drawing."""
    if character == "snout_percent":
        drawn = head.snout(EXAMPLE_SNOUT if value is None else value)
    elif character in body.WHERE:
        drawn = body.where(character)
    else:
        return ""
    return svg.picture((WIDTH, HEIGHT), drawn, about, prefix)
