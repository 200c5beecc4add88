"""What is entered of the crosses of a draft. The page puts in the plan's number, kinship and figures."""

from django import forms

from breeding.pages.crosses.wishes.forms import REASON
from registry.rules.crossing.crosses import PairWanted
from registry.rules.crossing.plans import PairAdded, PairSwapped, PairTakenOut
from registry.web.entry_view import EntryForm
from registry.web.fields import FishNumber


class PairForm(EntryForm):
    """A pair that is looked at."""

    dam = FishNumber(label="Female")
    sire = FishNumber(label="Male")


class AddForm(EntryForm):
    """A pair that comes into the draft."""

    dam = FishNumber(label="Female")
    sire = FishNumber(label="Male")
    comment = forms.CharField(label="Comment", max_length=200, required=False)

    def entry(self) -> PairAdded:
        """Return what the operation takes."""
        return PairAdded(plan="", pair=PairWanted(**self.cleaned_data))


class TakeOutForm(EntryForm):
    """A pair that leaves the draft, and why."""

    dam = FishNumber(label="Female")
    sire = FishNumber(label="Male")
    reason = forms.CharField(label="Reason", max_length=400, help_text=REASON)

    def entry(self) -> PairTakenOut:
        """Return what the operation takes."""
        return PairTakenOut(plan="", **self.cleaned_data)


class SwapForm(EntryForm):
    """A pair that gives way to another."""

    dam = FishNumber(label="Female that goes out")
    sire = FishNumber(label="Male that goes out")
    new_dam = FishNumber(label="Female that comes in")
    new_sire = FishNumber(label="Male that comes in")
    reason = forms.CharField(label="Reason", max_length=400, required=False, help_text=REASON)

    def entry(self) -> PairSwapped:
        """Return what the operation takes."""
        given = self.cleaned_data
        pair = PairWanted(dam=given["new_dam"], sire=given["new_sire"])
        return PairSwapped(plan="", dam=given["dam"], sire=given["sire"], pair=pair, reason=given["reason"])


class TwoFishForm(EntryForm):
    """Two fish, by scan or number."""

    one = FishNumber(label="One fish")
    other = FishNumber(label="The other")
