"""A sample corrected; samples, photographs, treatments, looks and quarantines taken back."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from registry.models import HealthLook, Photo, Quarantine, Record, SampleSent, TissueSample, Treatment
from registry.operations.intake.corrections import SampleCorrected, TakenBack, as_taken, correct_sample, take_back
from registry.pages.intake.care import SampleForm
from registry.permissions import CORRECT
from registry.rules.intake.samples import SampleTaken
from registry.web.entry_view import EntryForm, EntryView
from registry.web.links import address

WHY = {
    "max_length": 4000, "widget": forms.Textarea(attrs={"rows": 3}), "label": "Why",
    "help_text": "It stands in the journal beside the correction.",
}  # fmt: skip


class TakeBackForm(EntryForm):
    """Why it should not stand."""

    reason = forms.CharField(**WHY)

    def entry(self) -> str:
        """Return the reason."""
        return self.cleaned_data["reason"]


class SampleCorrectionForm(EntryForm):
    """A sample as it should read, and why."""

    fish, kind, number, taken_on, stored_at, second_tube, notes = SampleForm.base_fields.values()
    reason = forms.CharField(**WHY)

    def entry(self) -> Any:
        """Return the sample and the reason."""
        told = dict(self.cleaned_data)
        return told.pop("reason"), SampleTaken(**told)


class TakeBack(EntryView):
    """Take a row back. `rows` comes from the address."""

    form_class = TakeBackForm
    operation = take_back
    permission = CORRECT
    title = button = "Take back"
    warns = False
    rows: QuerySet = Photo.objects.none()

    def record(self) -> Record:
        """Return the row that should not stand."""
        return get_object_or_404(self.rows.all().select_related("fish", "entry"), pk=self.kwargs["pk"])

    def context(self) -> dict[str, Any]:
        return {"title": f"Take back: {self.record()}"}

    def write(self, entry: str) -> Any:
        return super().write(TakenBack(record=self.record(), reason=entry))

    def after(self, record: Any) -> str:
        return address("fish", record.fish.number)


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

    def after(self, record: Any) -> str:
        return address("fish", record.fish.number)


TAKEN_BACK = {
    "photo": Photo.objects.all(),
    "sample": TissueSample.objects.all(),
    "treatment": Treatment.objects.all(),
    "health": HealthLook.objects.all(),
    "sending": SampleSent.objects.all(),
    "quarantine": Quarantine.objects.all(),
}
