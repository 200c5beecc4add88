"""Corrections of a fish's details, a check, a tag: the right values, and why; the earlier stay readable."""

from typing import Any

from django import forms

from registry.models import Confidence, Evidence, HoldingUnit, Left, Origin, Sex, Species, Stock, Tag
from registry.pages.fish.entries.checks import FOUND, HOW
from registry.pages.fish.entries.choices import species, stages, stocks, units
from registry.web.entry.correcting import DAYS, Why
from registry.web.entry_view import EntryForm
from registry.web.fields import Code, Day
from registry.web.notations import KnownDay, Length, Mass, some


class DetailsForm(EntryForm):
    """What is known of a fish."""

    species = forms.ChoiceField(required=False, choices=species, label="Species")
    confidence = forms.ChoiceField(choices=Confidence.choices, label="Species known by")
    hybrid = forms.BooleanField(required=False, label="Held to be a hybrid")
    sex = forms.ChoiceField(choices=Sex.choices, label="Sex")
    stock = forms.ChoiceField(required=False, choices=stocks, label="Stock")
    origin = forms.ChoiceField(choices=Origin.choices, label="Origin")
    caught = KnownDay(label="Caught")
    caught_at = forms.CharField(required=False, max_length=120, label="Caught at")
    hatched = KnownDay(label="Hatched")
    left = forms.ChoiceField(
        required=False, choices=some(*Left.choices), label="Left",
        help_text="Empty: it lives here. Tag and unit that ended with it are entered anew.",
    )  # fmt: skip
    left_on = KnownDay(label="Left on")
    left_note = forms.CharField(required=False, max_length=200, label="Cause or destination")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea, label="Notes")
    reason = Why()

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("left_on") and not data.get("left"):
            self.add_error("left", "Say how it left, or empty the day on which it left.")
        return data

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        values = dict(self.cleaned_data)
        for name in DAYS:
            day = values.pop("left_on" if name == "left" else name)
            values |= {f"{name}_on": day.first if day else None, f"{name}_precision": day.precision if day else ""}
        kept = Species.objects.current().filter(key=values.pop("species")).first()
        stock = Stock.objects.current().filter(name=values.pop("stock")).first()
        return values | {"species_id": kept.pk if kept else None, "stock_id": stock.pk if stock else None}


class CheckCorrectionForm(EntryForm):
    """What was found on a fish in hand."""

    checked_on = Day(label="In hand on")
    total_length_mm = Length(label="Total length")
    fork_length_mm = Length(label="Fork length")
    girth_mm = Length(label="Girth")
    mass_g = Mass(label="Mass")
    sex_found = forms.ChoiceField(required=False, choices=FOUND, label="Sex found")
    stage = forms.ChoiceField(required=False, choices=stages, label="Maturity stage")
    method = forms.ChoiceField(required=False, choices=HOW, label="Found by")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea, label="Notes")
    reason = Why()

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        return self.cleaned_data


class TagCorrectionForm(EntryForm):
    """A code on a fish from when to when."""

    code = Code(label="Code")
    site = forms.CharField(required=False, max_length=60, label="Where it sits")
    attached_on = Day(label="On the fish from")
    ended_on = Day(required=False, label="Until", help_text="First day on which it was gone; empty: it is still on.")
    end_reason = forms.ChoiceField(required=False, choices=some(*Tag.EndReason.choices), label="Why it ended")
    known_by = forms.ChoiceField(required=False, choices=some(*Evidence.choices), label="Known to be this fish by")
    probability = forms.DecimalField(
        required=False, max_digits=4, decimal_places=3, label="If asserted, how likely",
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )  # fmt: skip
    evidence = forms.CharField(required=False, max_length=120, label="What was seen")
    reason = Why()

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        code = self.cleaned_data["code"]
        return self.cleaned_data | {"system": code.system, "code": code.code}


class StayCorrectionForm(EntryForm):
    """In which unit a fish or batch was, from when to when."""

    unit = forms.ChoiceField(choices=units, label="Unit")
    since = Day(label="There since", help_text="The stay that ended on that day is corrected with it.")
    until = Day(required=False, label="Until", help_text="First day on which it was gone; empty: it is still there.")
    reason = Why()

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        values = dict(self.cleaned_data)
        unit = HoldingUnit.objects.current().filter(name=values.pop("unit")).first()
        return values | {"unit_id": unit.pk if unit else None}
