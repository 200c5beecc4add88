"""The drawings of characters as pages show them."""

from django.utils.safestring import SafeString, mark_safe

from breeding.figures.characters.drawing import draw_look, draw_number
from registry.rules.identity.characters import BY_KEY


def look(character: str, state: str, prefix: str = "draw") -> SafeString:
    """Return the drawing of one look; empty when there is none."""
    known = BY_KEY[character]
    about = (f"{known.name}: {known.words(state)}", known.how)
    drawn = draw_look(character, state, about, f"{prefix}-{character}-{state}")
    return mark_safe(drawn)  # noqa: S308  (the figure escapes its texts)


def number(character: str, prefix: str = "draw", value: float | None = None) -> SafeString:
    """Return the drawing of where a number is counted or measured; empty when there is none."""
    known = BY_KEY.get(character)
    if known is None:
        return mark_safe("")
    drawn = draw_number(character, (known.name, known.how), f"{prefix}-{character}", value)
    return mark_safe(drawn)  # noqa: S308  (the figure escapes its texts)
