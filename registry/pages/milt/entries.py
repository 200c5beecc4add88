"""Milt laid in, and taken out for a test or discarded. What a spawning uses is entered with the spawning."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import Fish, MiltLot, MiltUse
from registry.operations.crossing.milt import MiltCollected, MiltDiscarded, collect_milt, discard_milt
from registry.permissions import ENTER
from registry.rules.fixed.cautions import LIQUID_NITROGEN
from registry.web.entry.correcting import Correct, Why
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Abroad, Count, Day, FishNumber, PermitNumber, PermitReason
from registry.web.links import address
from registry.web.notations import Percent

WHY = [("thaw test", "Test"), ("discarded", "Discarded"), (MiltUse.GIVEN_AWAY, "Given to another station")]


class CollectForm(EntryForm):
    """The male in hand, then what was drawn from him, then where it went."""

    male = FishNumber(label="Male", help_text="Scan him, or type his register number.")
    collected_on = Day(label="Collected on", initial=timezone.localdate)
    number = forms.CharField(max_length=40, label="Lot number", help_text="As written on the straws.")
    state = forms.ChoiceField(choices=MiltLot.State.choices, label="State")
    doses = Count(max_value=1_000_000, label="Doses laid in", help_text="Straws, or portions of fresh milt.")
    motility_percent = Percent(label="Motility")
    position = forms.CharField(required=False, max_length=60, label="Where", help_text="Dewar, canister and cane.")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea, label="Notes")

    def entry(self) -> MiltCollected:
        """Return what the operation takes."""
        return MiltCollected(**self.cleaned_data)


class DiscardForm(EntryForm):
    """Which lot, how many doses, why."""

    lot = forms.CharField(max_length=40, label="Lot number")
    doses = Count(max_value=1_000_000, label="Doses taken out")
    used_on = Day(label="Taken out on", initial=timezone.localdate)
    purpose = forms.ChoiceField(choices=WHY, label="For")
    sent_to = forms.CharField(
        required=False, max_length=80, label="Where it went", help_text="Of milt given away: the station; no name."
    )
    permit = PermitNumber(label="Permit of milt given away")
    abroad = Abroad()
    permit_reason = PermitReason()

    def entry(self) -> MiltDiscarded:
        """Return what the operation takes."""
        return MiltDiscarded(**self.cleaned_data)


class LotCorrectionForm(EntryForm):
    """A lot as it should read."""

    male, collected_on, state, doses, motility_percent, position, notes = (
        CollectForm.base_fields[name]
        for name in ("male", "collected_on", "state", "doses", "motility_percent", "position", "notes")
    )
    reason = Why()

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        values = dict(self.cleaned_data)
        return values | {"male_id": Fish.objects.get(number=values.pop("male")).pk}


class Collect(EntryView):
    """Lay in milt."""

    form_class = CollectForm
    operation = collect_milt
    permission = ENTER
    title = "Lay in milt"
    caution = LIQUID_NITROGEN

    def after(self, record: MiltLot) -> str:
        return address("milt_lot", record.number)


class Discard(EntryView):
    """Take doses out of a lot."""

    form_class = DiscardForm
    operation = discard_milt
    permission = ENTER
    title = "Take milt out"
    caution = LIQUID_NITROGEN

    def after(self, record: MiltUse) -> str:
        return address("milt_lot", record.lot.number)


correct_lot = Correct.as_view(
    title="Correct",
    form_class=LotCorrectionForm,
    rows=MiltLot.objects.current().select_related("male", "entry"),
    caution=LIQUID_NITROGEN,
)
