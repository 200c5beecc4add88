"""A fish moves to another unit, or leaves."""

from django import forms
from django.utils import timezone

from registry.models import Left
from registry.operations.fish import FishMove, move_fish, record_departure
from registry.operations.shared.entries import Departure
from registry.pages.fish.entries.choices import units
from registry.permissions import ENTER
from registry.rules.fixed.cautions import PERMITS
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Abroad, Day, FishNumber, PermitNumber, PermitReason
from registry.web.notations import KnownDay

# A release is entered on its own page, with place and permit.
WAYS = [(Left.DIED, Left.DIED.label), (Left.TRANSFERRED, Left.TRANSFERRED.label), (Left.MISSING, Left.MISSING.label)]


class MoveForm(EntryForm):
    """Which fish, where to, when."""

    fish = FishNumber(label="Fish", help_text="Scan it, or type its register number.")
    unit = forms.ChoiceField(choices=units, label="To unit")
    moved_on = Day(label="Moved on", initial=timezone.localdate)

    def entry(self) -> FishMove:
        """Return what the operation takes."""
        return FishMove(**self.cleaned_data)


class DepartureForm(EntryForm):
    """Which fish, how it left, when."""

    fish = FishNumber(label="Fish", help_text="Scan it, or type its register number.")
    left = forms.ChoiceField(choices=WAYS, label="What happened")
    left_on = KnownDay(required=True, label="When")
    permit = PermitNumber(label="Permit of a transfer", help_text="For a fish that goes to another hatchery.")
    abroad = Abroad()
    permit_reason = PermitReason()
    notes = forms.CharField(
        required=False, max_length=200, label="Cause or destination", help_text="What is known; the carcass's number."
    )

    def entry(self) -> Departure:
        """Return what the operation takes."""
        return Departure(**self.cleaned_data)


class Move(EntryView):
    """Move a fish."""

    form_class = MoveForm
    operation = move_fish
    permission = ENTER
    title = "Move a fish"
    button = "Move"


class Depart(EntryView):
    """Note that a fish died, was transferred or is missing."""

    form_class = DepartureForm
    operation = record_departure
    permission = ENTER
    title = "A fish died or left"
    caution = PERMITS
