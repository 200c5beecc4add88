"""A fish that was missing, released or sent away is back."""

from django import forms
from django.utils import timezone

from registry.operations.identity.returning import record_return
from registry.operations.shared.entries import FishReturn
from registry.pages.fish.entries.choices import units
from registry.pages.fish.entries.tags import KNOWN_BY, LIKELY, SEEN
from registry.permissions import ENTER
from registry.rules.fixed.cautions import PERMITS
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Code, Day, FishNumber


class ReturnForm(EntryForm):
    """Which fish, by what it is known, and where it is put."""

    fish = FishNumber(label="Fish", help_text="Register number, or a tag that it bears.")
    code = Code(required=False, label="Tag", help_text="As read on it, or the new one. Its own tag proves which it is.")
    site = forms.CharField(required=False, max_length=60, label="Where a new tag sits")
    known_by = forms.ChoiceField(**{**KNOWN_BY, "help_text": "If not by its own tag."})
    probability = forms.DecimalField(**LIKELY)
    evidence = forms.CharField(**SEEN)
    returned_on = Day(label="Back on", initial=timezone.localdate)
    unit = forms.ChoiceField(choices=units, label="Put into unit")

    def entry(self) -> FishReturn:
        """Return what the operation takes."""
        return FishReturn(**self.cleaned_data)


class Return(EntryView):
    """A fish is back."""

    form_class = ReturnForm
    operation = record_return
    permission = ENTER
    title = "A fish is back"
    button = "It is back"
    caution = PERMITS
