"""Counts and places as a sheet's cell may hold them: 12 400, 12.400 or 12k; 47 09.654 N or 47.1609."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.rules.reading import shown
from registry.sheets.numbers import read_count
from registry.sheets.positions import read_position


class FishCount(forms.CharField):
    """A whole number of fish; cleans to an int, or to None when left empty."""

    def __init__(self, **options: Any) -> None:
        widget = forms.TextInput(attrs={"inputmode": "numeric"})
        super().__init__(**{"widget": widget, "max_length": 30} | options)
        self.unit = "fish"

    def clean(self, value: Any) -> int | None:
        text = super().clean(value)
        if not text:
            return None
        reading = read_count(text)
        if not reading.refused:
            return reading.value
        stops = [one for one in reading.objections if not one.warning]
        raise ValidationError([ValidationError(_advice(text, one.code, one.message), one.code) for one in stops])


class Coordinate(forms.CharField):
    """Latitude or longitude in any usual notation; read together by `position_of`."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"required": False, "max_length": 40} | options)


def position_of(form: forms.Form) -> None:
    """Read `latitude` and `longitude` of a form together: cleaned to decimal degrees, or refused at their field."""
    given = [form.cleaned_data.get(name) or "" for name in ("latitude", "longitude")]
    reading = read_position(*given)
    found = reading.value
    degrees: tuple[Decimal | None, Decimal | None] = (found.lat, found.lon) if found else (None, None)
    form.cleaned_data |= dict(zip(("latitude", "longitude"), degrees, strict=True))
    for one in reading.objections:
        if not one.warning:
            name = {"lat": "latitude", "lon": "longitude"}[one.field]
            form.add_error(name, ValidationError(one.message.replace("The empty cell", "The empty field"), one.code))


def _advice(text: str, code: str, message: str) -> str:
    if code == "not_a_number":
        return f"“{shown(text)}” is not a count. Write figures only, such as 12400 or 12 400."
    return message
