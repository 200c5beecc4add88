"""Captures, marks looked for, looks and samples corrected; what should not stand at all taken back."""

from typing import Any

from django import forms
from django.shortcuts import get_object_or_404

from registry.models import (
    Capture,
    HealthLook,
    MarkSearch,
    Photo,
    PloidyFound,
    Quarantine,
    SampleSent,
    TissueSample,
    Treatment,
)
from registry.operations.intake.corrections import SampleCorrected, as_taken, correct_sample
from registry.pages.intake.arrive.forms import ArrivalForm, by_its_clock, furnish
from registry.pages.intake.arrive.parts import CAPTURE
from registry.pages.intake.care import HealthForm, SampleForm
from registry.permissions import CORRECT
from registry.rules.intake.samples import SampleTaken
from registry.web.entry.correcting import Correct, Why
from registry.web.entry_view import EntryForm, EntryView


class SampleCorrectionForm(EntryForm):
    """A sample as it should read, and why."""

    fish, kind, number, taken_on, stored_at, second_tube, notes = SampleForm.base_fields.values()
    reason = Why()

    def entry(self) -> Any:
        """Return the sample and the reason."""
        told = dict(self.cleaned_data)
        return told.pop("reason"), SampleTaken(**told)


class CaptureForm(EntryForm):
    """A capture as it should read."""

    (
        caught_at, zone, place, latitude, longitude, uncertainty_m, river_km, gear, crew, permit, transport,
        transport_minutes, density_kg_m3, oxygen_mg_l,
    ) = (ArrivalForm.base_fields[name] for name in CAPTURE if name != "permit_reason")  # fmt: skip
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}), label="Notes")
    reason = Why()

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        furnish(self)

    def clean(self) -> dict[str, Any]:
        return by_its_clock(self)

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        return self.cleaned_data


class MarkForm(EntryForm):
    """Whether one mark was looked for, and what was found."""

    looked = forms.BooleanField(required=False, label="It was looked for")
    found = forms.CharField(
        required=False, max_length=120, label="Found", help_text="Code, colour and place. Empty: nothing."
    )
    reason = Why()

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        return self.cleaned_data


class HealthCorrectionForm(EntryForm):
    """How a fish looked, as it should read."""

    looked_on, score, injuries, hook, notes = (
        HealthForm.base_fields[name] for name in ("looked_on", "score", "injuries", "hook", "notes")
    )
    reason = Why()

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        return self.cleaned_data


class CorrectSample(EntryView):
    """Correct a sample."""

    form_class = SampleCorrectionForm
    operation = correct_sample
    permission = CORRECT
    title = "Correct a sample"
    button = "Correct"

    def record(self) -> TissueSample:
        """Return the sample to correct."""
        return get_object_or_404(TissueSample.objects.select_related("fish", "entry"), pk=self.kwargs["pk"])

    def initial(self) -> dict[str, Any]:
        held = as_taken(self.record())
        return {name: getattr(held, name) for name in SampleForm.base_fields}

    def write(self, entry: Any) -> Any:
        reason, sample = entry
        return super().write(SampleCorrected(record=self.record(), sample=sample, reason=reason))


correct_capture = Correct.as_view(
    title="Correct the capture of", form_class=CaptureForm,
    rows=Capture.objects.current().select_related("fish", "entry"),
)  # fmt: skip
correct_mark = Correct.as_view(
    title="Correct a mark looked for on", form_class=MarkForm,
    rows=MarkSearch.objects.current().select_related("capture__fish", "entry"),
)  # fmt: skip
correct_health = Correct.as_view(
    title="Correct a look at", form_class=HealthCorrectionForm,
    rows=HealthLook.objects.current().select_related("fish", "entry"),
)  # fmt: skip
TAKEN_BACK = {
    what: model.objects.select_related("fish", "entry")
    for what, model in {
        "capture": Capture, "photo": Photo, "sample": TissueSample, "treatment": Treatment, "health": HealthLook,
        "sending": SampleSent, "quarantine": Quarantine, "ploidy": PloidyFound,
    }.items()
}  # fmt: skip
