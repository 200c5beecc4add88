"""What is typed of a batch once it is there, and the entries made of it."""

from typing import Any

from django import forms

from registry.models import Transfer
from registry.operations.corrections import Correction
from registry.operations.shared.entries import BatchMarking, BatchMove, Census, Merge, Split, Taking
from registry.pages.batches.fields import COUNTING, batch_number, day, line, notes, stage, units
from registry.rules.tagging import MARK_KINDS
from registry.web.entry.correcting import Why
from registry.web.entry.quantities import FishCount
from registry.web.entry_view import EntryForm
from registry.web.fields import Abroad, PermitNumber, PermitReason

TAKEN = [("loss", "Lost: found dead or gone"), ("sample", "Sampled: fixed, or sent to a laboratory"),
         ("cull", "Culled"), ("transfer", "Transferred out, to another hatchery")]  # fmt: skip


class TakingForm(EntryForm):
    """Fish taken out of a batch."""

    batch = batch_number()
    event = forms.ChoiceField(label="What happened", choices=TAKEN, widget=forms.RadioSelect, initial="loss")
    count = FishCount(label="Number of fish", help_text=COUNTING)
    moved_on = day("On")
    permit = PermitNumber(label="Permit of a transfer", help_text="For fish that go to another hatchery.")
    abroad = Abroad(label="They go across a border")
    permit_reason = PermitReason()
    stage = stage()
    notes = notes()

    def entry(self) -> Taking:
        """Return what the operation takes."""
        return Taking(**self.cleaned_data)


class CensusForm(EntryForm):
    """A batch counted or estimated anew."""

    batch = batch_number()
    counted = FishCount(label="Fish counted", help_text=f"{COUNTING} 0 is a count too.")
    uncertainty = FishCount(label="Plus or minus", required=False, help_text="How far off the count may be.")
    method = line("How they were counted", required=True, help_text="Such as counted one by one, by weight, by photo.")
    moved_on = day("Counted on")
    stage = stage()
    notes = notes()

    def entry(self) -> Census:
        """Return what the operation takes."""
        return Census(**self.cleaned_data)


class SplitForm(EntryForm):
    """Part of a batch becomes a new one."""

    batch = batch_number("Batch to split")
    new_number = batch_number("Number of the new batch")
    count = FishCount(label="Fish that go into the new batch", help_text=COUNTING)
    unit = forms.ChoiceField(label="Holding unit of the new batch", choices=units, required=False)
    moved_on = day("Split on")
    stage = stage()
    notes = notes()

    def entry(self) -> Split:
        """Return what the operation takes."""
        return Split(**self.cleaned_data)


class MergeForm(EntryForm):
    """Fish of one batch go into another."""

    batch = batch_number("Fish of batch")
    into = batch_number("Go into batch")
    count = FishCount(label="Number of fish", help_text=COUNTING)
    unit = forms.ChoiceField(
        label="Holding unit they are in now",
        choices=units,
        required=False,
        help_text="Empty: where the second batch is.",
    )
    moved_on = day("Merged on")
    stage = stage()
    notes = notes()

    def entry(self) -> Merge:
        """Return what the operation takes."""
        return Merge(**self.cleaned_data)


class MoveForm(EntryForm):
    """A batch goes to another holding unit."""

    batch = batch_number()
    unit = forms.ChoiceField(label="Goes to holding unit", choices=units)
    moved_on = day("Moved on")
    notes = notes()

    def entry(self) -> BatchMove:
        """Return what the operation takes."""
        return BatchMove(**self.cleaned_data)


class MarkingForm(EntryForm):
    """A mark that the fish of a batch share."""

    batch = batch_number()
    kind = forms.ChoiceField(label="Kind of mark", choices=[(kind, kind.capitalize()) for kind in MARK_KINDS])
    detail = line("Code, or colour and place", max_length=120, help_text="Such as a wire's code, or red, left snout.")
    count = FishCount(label="Fish marked", required=False, help_text=f"{COUNTING} Empty: all of them, not counted.")
    marked_on = day("Marked on")

    def entry(self) -> BatchMarking:
        """Return what the operation takes."""
        return BatchMarking(**self.cleaned_data)


class MarkCorrectionForm(EntryForm):
    """A mark as it should read."""

    kind, detail, count, marked_on = (
        MarkingForm.base_fields[name] for name in ("kind", "detail", "count", "marked_on")
    )
    reason = Why()

    def entry(self) -> dict[str, Any]:
        """Return the values by column."""
        return self.cleaned_data


class TransferCorrectionForm(EntryForm):
    """The right number of a movement, and why the one entered was wrong."""

    count = FishCount(label="The right number of fish", help_text=COUNTING)
    notes = notes()
    reason = Why()

    def __init__(self, *args: Any, record: Transfer, **options: Any) -> None:
        super().__init__(*args, **options)
        self.record = record

    def entry(self) -> Correction:
        """Return what the operation takes."""
        values = self.cleaned_data
        changes = {"count": values["count"], "notes": values["notes"]}
        return Correction(record=self.record, changes=changes, reason=values["reason"])
