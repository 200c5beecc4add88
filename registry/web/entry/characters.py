"""Form fields for the characters of a fish: looks chosen by their drawings, counts for each side."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from registry.queries.catalogue.profiles import river_names
from registry.rules.identity.characters import CHARACTERS, FARM_SIGNS, LEFT, RIGHT, Character
from registry.rules.identity.determination import Determined, Look
from registry.web.entry import drawings
from registry.web.fields import Count, Measure
from registry.web.notations import Length, Mass, named

NOT_LOOKED = "not looked at"


class Drawn(forms.RadioSelect):
    """Looks to choose from, each with its drawing; the first choice is that nobody looked."""

    def __init__(self, character: Character) -> None:
        super().__init__()
        self.character = character

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:  # noqa: ARG002
        held, identity = str(value or ""), (attrs or {}).get("id", f"id_{name}")
        choices = [*((one.key, one.words) for one in self.character.states), ("", NOT_LOOKED)]
        rows = [
            (
                drawings.look(self.character.key, key, "choose") if key else "",
                f"{identity}_{n}",
                name,
                key,
                mark_safe(" checked") if key == held else "",
                words,
                "" if key else "none",
            )
            for n, (key, words) in enumerate(choices)
        ]
        options = format_html_join(
            "",
            '<label for="{1}" class="{6}"><span class="look-drawing" aria-hidden="true">{0}</span>'
            '<span class="look-words"><input type="radio" id="{1}" name="{2}" value="{3}"{4}>{5}</span></label>',
            rows,
        )
        return format_html('<div class="looks" role="radiogroup">{}</div>', options)


def character_fields() -> dict[str, forms.Field]:
    """Return a field for each character, in the order in which a hand goes over the fish; two where sides count."""
    found: dict[str, forms.Field] = {}
    for one in CHARACTERS:
        if one.states:
            choices = [("", NOT_LOOKED), *((state.key, state.words) for state in one.states)]
            found[one.key] = forms.ChoiceField(
                required=False, choices=choices, widget=Drawn(one), label=one.name, help_text=one.how
            )
        elif one.unit:
            found[one.key] = Measure(
                min_value=0, max_value=one.most, max_digits=5, decimal_places=1, label=one.name, help_text=one.how
            )
        else:
            for key, side in _sides(one):
                label = f"{one.name}, {side}" if side else one.name
                how = "" if side == RIGHT else one.how
                found[key] = Count(required=False, max_value=one.most, label=label, help_text=how)
    return found


def circumstances() -> dict[str, forms.Field]:
    """Return the fields beside the characters: size, river, signs of aquaculture."""
    return {
        "signs": forms.MultipleChoiceField(
            required=False,
            choices=list(FARM_SIGNS.items()),
            widget=forms.CheckboxSelectMultiple,
            label="Signs of aquaculture",
            help_text="Each is a flag, no proof.",
        ),
        "total_length_mm": Length(label="Total length"),
        "mass_g": Mass(label="Mass"),
        "river": forms.ChoiceField(
            required=False, choices=named(lambda: [(one, one) for one in river_names()]), label="River"
        ),
    }


def unseen_fields() -> dict[str, forms.Field]:
    """Return the same fields for a page that only carries along what was seen on the page before."""
    found = character_fields() | circumstances()
    for field in found.values():
        several = isinstance(field, forms.MultipleChoiceField)
        field.widget = forms.MultipleHiddenInput() if several else forms.HiddenInput()
    return found


def looks_of(cleaned: dict[str, Any]) -> tuple[Look, ...]:
    """Return the characters that were looked at."""
    found = []
    for one in CHARACTERS:
        if one.states:
            if cleaned.get(one.key):
                found.append(Look(one.key, look=cleaned[one.key]))
            continue
        for key, side in _sides(one):
            if cleaned.get(key) is not None:
                found.append(Look(one.key, value=Decimal(cleaned[key]), side=side))
    return tuple(found)


def seen_in(cleaned: dict[str, Any], **more: Any) -> Determined:
    """Return what cleaned fields say was seen."""
    day = more.pop("determined_on", None)
    return Determined(
        fish=more.pop("fish", ""),
        determined_on=day,
        looks=looks_of(cleaned),
        signs=tuple(cleaned.get("signs") or ()),
        total_length_mm=cleaned.get("total_length_mm"),
        mass_g=cleaned.get("mass_g"),
        river=cleaned.get("river") or "",
        **more,
    )


def looked_at(looks: tuple[Look, ...]) -> list[tuple[str, str]]:
    """Return what was seen in words: the character (with its side) and the look or number."""
    return list(_in_words(looks))


def _in_words(looks: tuple[Look, ...]) -> Iterator[tuple[str, str]]:
    by_key = {one.key: one for one in CHARACTERS}
    for look in looks:
        one = by_key[look.character]
        name = f"{one.name}, {look.side}" if look.side else one.name
        if look.look:
            yield name, one.words(look.look)
        elif look.value is not None:
            yield name, f"{look.value.normalize():f}{f' {one.unit}' if one.unit else ''}"


def _sides(one: Character) -> list[tuple[str, str]]:
    if one.both_sides:
        return [(f"{one.key}_{side}", side) for side in (LEFT, RIGHT)]
    return [(one.key, "")]
