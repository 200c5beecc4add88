"""Small filters: days and units in words, what a form field is, addresses of records."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django import template
from django.forms import BoundField, CheckboxInput
from django.utils import timezone

from registry.rules.days import DAY, Day, spoken
from registry.rules.reading import whole as in_threes

register = template.Library()

# A field's name ends in its unit.
UNITS = {
    "_eggs_per_g": "eggs per g",
    "_per_g": "per g",
    "_mm": "mm",
    "_cm": "cm",
    "_kg": "kg",
    "_g": "g",
    "_ml": "ml",
    "_c": "°C",
    "_percent": "%",
    "_years": "years",
    "_days": "days",
}


@register.filter
def day(value: date | None, precision: str = DAY) -> str:
    """Return a day as far as it is known: 3 May 2026, May 2008, 2008; an en dash when there is none."""
    return str(Day(value, precision or DAY)) if value else "–"


@register.filter
def moment(value: datetime | None) -> str:
    """Return a moment in the hatchery's own time: 3 May 2026, 14:05."""
    if not value:
        return "–"
    here = timezone.localtime(value)
    return f"{spoken(here.date())}, {here:%H:%M}"


@register.filter
def or_dash(value: Any) -> Any:
    """Return the value, or an en dash when it is missing; nought is a value."""
    return "–" if value is None or value == "" else value


@register.filter
def whole(value: int | None) -> str:
    """Return a count in groups of three, held together by narrow spaces: 12 400."""
    return "–" if value is None else in_threes(value)


@register.filter
def unit(field: BoundField) -> str:
    """Return the unit that a form field is in, by its own `unit` or the end of its name."""
    own = getattr(field.field, "unit", "")
    return own or next((words for end, words in UNITS.items() if f"_{field.name}".endswith(end)), "")


@register.filter
def is_box(field: BoundField) -> bool:
    """Return whether the field is a single box to tick, whose label stands after it."""
    return isinstance(field.field.widget, CheckboxInput)


@register.filter
def plain(value: Decimal | None) -> str:
    """Return a measured number without idle noughts: 812.5, 3400; an en dash when it was not measured."""
    return "–" if value is None else f"{value.normalize():f}"


@register.filter
def chance(value: Decimal | float | None) -> str:
    """Return a probability as people say it: 1, 0.5, 0.333."""
    return "–" if value is None else f"{float(value):.3g}"
