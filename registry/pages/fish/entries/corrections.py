"""Corrections of a fish's details, a check, a tag: the right values, and why; the earlier stay readable."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from registry.models import (
    Check,
    Confidence,
    Evidence,
    FishDetails,
    HoldingUnit,
    Left,
    Origin,
    Record,
    Sex,
    Species,
    Stock,
    Tag,
)
from registry.operations.corrections import Correction, correct
from registry.operations.shared.stays import owner_of
from registry.pages.fish.entries.checks import FOUND, HOW
from registry.pages.fish.entries.choices import species, stages, stocks, units
from registry.permissions import CORRECT
from registry.queries.known import day_of
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Code, Day
from registry.web.links import address
from registry.web.notations import KnownDay, Length, Mass, some

DAYS = ("caught", "hatched", "left")
WHY = {"max_length": 4000, "widget": forms.Textarea, "label": "Why"}
WHY["help_text"] = "It stands in the journal beside the correction."


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
    reason = forms.CharField(**WHY)

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
    reason = forms.CharField(**WHY)

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
    reason = forms.CharField(**WHY)

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        code = self.cleaned_data["code"]
        return self.cleaned_data | {"system": code.system, "code": code.code}


class StayCorrectionForm(EntryForm):
    """In which unit a fish or batch was, from when to when."""

    unit = forms.ChoiceField(choices=units, label="Unit")
    since = Day(label="There since", help_text="The stay that ended on that day is corrected with it.")
    until = Day(required=False, label="Until", help_text="First day on which it was gone; empty: it is still there.")
    reason = forms.CharField(**WHY)

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        values = dict(self.cleaned_data)
        unit = HoldingUnit.objects.current().filter(name=values.pop("unit")).first()
        return values | {"unit_id": unit.pk if unit else None}


class Correct(EntryView):
    """Holds what stands; what is typed over it is the correction. Form, title and rows come from the address."""

    form_class = DetailsForm
    operation = correct
    permission = CORRECT
    title = button = "Correct"
    rows: QuerySet = Check.objects.none()
    form_names = {
        "species_id": "species", "stock_id": "stock", "caught_on": "caught", "hatched_on": "hatched", "system": "code",
        "unit_id": "unit",
    }  # fmt: skip

    def record(self) -> Record:
        """Return the row to correct."""
        wanted = {"fish__number": self.kwargs["number"]} if "number" in self.kwargs else {"pk": self.kwargs["pk"]}
        return get_object_or_404(self.rows.all().select_related("fish"), **wanted)

    def initial(self) -> dict[str, Any]:
        record = self.record()
        return {name: standing(record, name) for name in self.form_class.base_fields if name != "reason"}

    def context(self) -> dict[str, Any]:
        return {"title": " ".join((self.title, *owner_of(self.record())))}

    def write(self, entry: dict[str, Any]) -> Any:
        record = self.record()
        typed = {name: value for name, value in entry.items() if name != "reason"}
        changes = {name: value for name, value in typed.items() if getattr(record, name) != value}
        return super().write(Correction(record=record, changes=changes, reason=entry["reason"]))

    def after(self, record: Any) -> str:
        return address(*owner_of(record))


def standing(record: Record, name: str) -> Any:
    """Return what stands in a row, as the form's field of that name takes it."""
    day = "left" if name == "left_on" and isinstance(record, FishDetails) else name
    if isinstance(record, FishDetails) and day in DAYS and name != "left":
        return day_of(getattr(record, f"{day}_on"), getattr(record, f"{day}_precision"))
    value = getattr(record, name)
    if isinstance(value, Species):
        return value.key
    return value.name if isinstance(value, Stock | HoldingUnit) else value
