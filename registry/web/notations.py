"""Form fields that understand what a sheet's cell may hold: lengths and masses with their unit, days half known."""

from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone

from registry.errors import Objection
from registry.rules.days import Day
from registry.rules.reading import Reading, shown
from registry.sheets.dates import read_day
from registry.sheets.numbers import read_length, read_mass, read_percent

# A sheet's preview shows these beside the row; a form has no second look, so they stop it.
DOUBTS = {"two_digit_year", "excel_serial", "fraction_percent"}
MEASURED = forms.TextInput(attrs={"class": "measured"})  # letters too: a unit may be typed behind the figures


class Notation(forms.CharField):
    """A text that one of the sheets' readers turns into a value; None when it is left empty."""

    example = ""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"required": False, "max_length": 60} | options)

    def read(self, text: str) -> Reading[Any]:
        """Return what the text means."""
        raise forms.ValidationError(f"“{shown(text)}” cannot be read here.")

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Day):
            return value.iso
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        reading = self.read(text)
        stops = [one for one in reading.objections if not one.warning or one.code in DOUBTS]
        if stops:
            raise forms.ValidationError([forms.ValidationError(self._said(text, one), one.code) for one in stops])
        return reading.value

    def _said(self, text: str, objection: Objection) -> str:
        """Return the sentence for a form: the sheet's own speaks of cells and of options of a command."""
        own = {
            "not_a_number": f"“{shown(text)}” cannot be read as one number. "
            f"Write figures only, such as {self.example}.",
            "ambiguous_date": f"“{shown(text)}” can be read with the day first or the month first. "
            "Write it as 2019-05-03.",
            "two_digit_year": f"{objection.message} Write the whole year, as in 2019-05-03.",
        }
        return own.get(objection.code, objection.message)


class Length(Notation):
    """A length in mm: 812, “81,2 cm” or “0.812 m”."""

    widget = MEASURED
    unit, example = "mm", "745 or 74,5 cm"

    def read(self, text: str) -> Reading[Decimal | None]:
        return read_length(text, self.unit)


class Mass(Notation):
    """A mass in g: 3400, “3,4 kg”."""

    widget = MEASURED
    unit, example = "g", "3400 or 3,4 kg"

    def read(self, text: str) -> Reading[Decimal | None]:
        return read_mass(text, self.unit)


class Percent(Notation):
    """Per cent from 0 to 100; a share such as 0.8 is asked about, not guessed."""

    widget = MEASURED
    unit, example = "%", "80 or 0.5 %"

    def read(self, text: str) -> Reading[Decimal | None]:
        return read_percent(text)


class KnownDay(Notation):
    """A day as far as it is known: 2008-05-17, 17 May 2008, May 2008 or 2008."""

    def __init__(self, **options: Any) -> None:
        help_text = "As far as it is known: 17 May 2008, May 2008 or 2008."
        super().__init__(**{"help_text": help_text} | options)

    def read(self, text: str) -> Reading[Day | None]:
        return read_day(text, timezone.localdate())


def some(*choices: tuple[str, str]) -> list[tuple[str, str]]:
    """Return choices with an empty one before them, for what may be left open."""
    return [("", "–"), *choices]


def named(rows: Callable[[], Iterable[tuple[str, str]]]) -> Callable[[], list[tuple[str, str]]]:
    """Return choices that are asked anew for every form: the register's own stocks, units, species."""
    return lambda: some(*rows())
