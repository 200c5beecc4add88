"""Quarantine entered: units marked for it, fish put into it, the veterinarian's release."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.operations.intake.quarantine import release_from_quarantine, set_quarantine_unit, start_quarantine
from registry.pages.intake.choices import SCAN, batch_number, quarantine_units, units
from registry.permissions import ADMINISTER, END_QUARANTINE, ENTER
from registry.rules.fixed.cautions import BIOSECURITY
from registry.rules.intake.quarantine import QuarantineRelease, QuarantineStart, QuarantineUnitSet
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Day, FishNumber
from registry.web.links import address

SERVES = [("yes", "It serves for quarantine from this day on"), ("no", "It no longer does")]


class UnitForm(EntryForm):
    """Which unit, from when."""

    unit = forms.ChoiceField(choices=units, label="Unit")
    serves = forms.ChoiceField(choices=SERVES, initial="yes", label="Quarantine")
    day = Day(label="From", initial=timezone.localdate)

    def entry(self) -> QuarantineUnitSet:
        """Return what the operation takes."""
        data = self.cleaned_data
        return QuarantineUnitSet(unit=data["unit"], day=data["day"], serves=data["serves"] == "yes")


class StartForm(EntryForm):
    """Which fish or batch, into which unit, since when, why."""

    fish = FishNumber(required=False, label="Fish", help_text=SCAN)
    batch = batch_number()
    unit = forms.ChoiceField(choices=quarantine_units, label="Quarantine unit", help_text="It is moved there.")
    since = Day(label="Since", initial=timezone.localdate)
    reason = forms.CharField(required=False, max_length=120, label="Why", help_text="Intake, signs of disease.")

    def entry(self) -> QuarantineStart:
        """Return what the operation takes."""
        return QuarantineStart(**self.cleaned_data)


class ReleaseForm(EntryForm):
    """The veterinarian's release."""

    fish = FishNumber(required=False, label="Fish", help_text=SCAN)
    batch = batch_number()
    until = Day(label="Released from quarantine on", initial=timezone.localdate)
    released_by = forms.CharField(max_length=80, label="Veterinarian", help_text="Role or licence number; no name.")
    findings = forms.CharField(
        max_length=500, widget=forms.Textarea(attrs={"rows": 3}), label="Findings",
        help_text="What was examined, the laboratory's report number, and what was found.",
    )  # fmt: skip

    def entry(self) -> QuarantineRelease:
        """Return what the operation takes."""
        return QuarantineRelease(**self.cleaned_data)


class MarkUnit(EntryView):
    """Mark a unit for quarantine."""

    form_class = UnitForm
    operation = set_quarantine_unit
    permission = ADMINISTER
    title = "Mark a quarantine unit"
    caution = BIOSECURITY

    def after(self, record: Any) -> str:
        return address("unit", record.unit.name)


class Start(EntryView):
    """Put a fish or a batch into quarantine."""

    form_class = StartForm
    operation = start_quarantine
    permission = ENTER
    title = "Put into quarantine"
    button = "Put it into quarantine"
    caution = BIOSECURITY


class Release(EntryView):
    """End a quarantine by the veterinarian's word."""

    form_class = ReleaseForm
    operation = release_from_quarantine
    permission = END_QUARANTINE
    title = "The veterinarian's release from quarantine"
    button = "End the quarantine"
    caution = BIOSECURITY
