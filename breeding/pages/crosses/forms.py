"""What is asked on the pages of pairs, plans and kinship."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import Stock
from registry.operations.shared.entries import PairTakenOut, PlanDraft
from registry.web.entry_view import EntryForm
from registry.web.fields import Count, FishNumber

NEW = ""


class SeasonForm(EntryForm):
    """Which stock and season, and whether to look beyond the ripe ones."""

    stock = forms.ModelChoiceField(Stock.objects.none(), label="Stock", to_field_name="name", empty_label=None)
    season = Count(label="Season")
    beyond = forms.BooleanField(label="All mature candidates, ripe or not", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["stock"].queryset = Stock.objects.current().select_related("species")

    def clean_season(self) -> int:
        """Refuse years that no plan can be for."""
        season, this_year = self.cleaned_data["season"], timezone.localdate().year
        if season is None or not 1900 <= season <= this_year + 1:
            raise forms.ValidationError(f"Write a season from 1900 to {this_year + 1}.", code="bad_season")
        return season


class IntoPlanForm(forms.Form):
    """Where the ticked pairs go."""

    plan = forms.ChoiceField(label="Into the draft", required=False)
    new_number = forms.CharField(label="Number of the new plan", max_length=40, required=False)

    def __init__(self, *args: Any, drafts: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["plan"].choices = [*((number, f"plan {number}") for number in drafts), (NEW, "a new plan")]

    def clean(self) -> dict[str, Any]:
        """Ask for a number where a new plan is wanted."""
        if not self.cleaned_data.get("plan") and not self.cleaned_data.get("new_number") and not self.errors:
            self.add_error("new_number", "The number of the new plan is missing. Fill it in.")
        return self.cleaned_data


class DraftForm(EntryForm):
    """A new, empty plan."""

    number = forms.CharField(label="Plan number", max_length=40)
    stock = forms.ModelChoiceField(Stock.objects.none(), label="Stock", to_field_name="name", empty_label="choose")
    season = Count(label="Season", help_text="The year in which the crosses are to be made.")
    notes = forms.CharField(label="Notes", required=False, max_length=4000, widget=forms.Textarea)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["stock"].queryset = Stock.objects.current()

    def entry(self) -> PlanDraft:
        """Return what the operation takes."""
        return PlanDraft(**self.cleaned_data | {"stock": self.cleaned_data["stock"].name})


class TakeOutForm(EntryForm):
    """Which pair leaves the draft, and why."""

    dam = FishNumber(label="Female")
    sire = FishNumber(label="Male")
    reason = forms.CharField(label="Reason", max_length=400, help_text="In a few words, for whoever reads it later.")

    def __init__(self, *args: Any, plan: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan

    def entry(self) -> PairTakenOut:
        """Return what the operation takes."""
        return PairTakenOut(plan=self.plan, **self.cleaned_data)


class TwoFishForm(EntryForm):
    """Two fish, by scan or number."""

    one = FishNumber(label="One fish")
    other = FishNumber(label="The other")
