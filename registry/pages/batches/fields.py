"""The fields that the forms of batches share."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import HoldingUnit
from registry.web.fields import Day

COUNTING = "12 400, 12.400 and 12k are understood."


def units() -> list[tuple[str, str]]:
    """Return the holding units to choose from."""
    names = HoldingUnit.objects.current().select_related("facility").values_list("name", "facility__name")
    return [("", "–"), *((name, f"{name}, {facility}") for name, facility in names)]


def batch_number(label: str = "Batch") -> forms.CharField:
    """Return a field for a batch's number."""
    return forms.CharField(label=label, max_length=40, widget=forms.TextInput(attrs={"class": "code"}))


def day(label: str) -> Day:
    """Return a day field that holds today at first."""
    return Day(label=label, initial=timezone.localdate)


def line(label: str, **options: Any) -> forms.CharField:
    """Return a text of one line that may be left empty."""
    return forms.CharField(**{"label": label, "required": False, "max_length": 60} | options)


def notes() -> forms.CharField:
    """Return a field for notes."""
    return forms.CharField(label="Notes", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))


def stage() -> forms.CharField:
    """Return a field for the stage of life."""
    return line("Stage", max_length=30, help_text="Such as eggs, yolk-sac larvae, fed larvae, fingerlings.")
