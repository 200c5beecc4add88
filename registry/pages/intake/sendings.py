"""A tube of a sample sent away."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import SampleSent
from registry.operations.intake.sendings import send_sample
from registry.pages.intake.care import line
from registry.permissions import ENTER
from registry.rules.fixed.cautions import PERMITS
from registry.rules.intake.samples import SampleSending
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Abroad, Day, PermitNumber, PermitReason
from registry.web.links import address


class SendingForm(EntryForm):
    """Which tube, where to, under which permit."""

    number = forms.CharField(max_length=40, label="Sample number", help_text="As on the tube.")
    sent_to = line("Where it goes", 80, required=True, help_text="A laboratory or office; no person's name.")
    sent_on = Day(label="Sent on", initial=timezone.localdate)
    permit = PermitNumber()
    abroad = Abroad()
    permit_reason = PermitReason()
    notes = line("Notes", 200)

    def entry(self) -> SampleSending:
        """Return what the operation takes."""
        return SampleSending(**self.cleaned_data)


class SendSample(EntryView):
    """Note that a tube was sent."""

    form_class = SendingForm
    operation = send_sample
    permission = ENTER
    title = "Send a sample"
    button = "Sent"
    caution = PERMITS

    def initial(self) -> dict[str, Any]:
        return {"number": self.request.GET.get("number", "")}

    def after(self, record: SampleSent) -> str:
        return address("fish", record.fish.number)
