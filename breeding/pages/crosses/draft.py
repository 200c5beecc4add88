"""A new plan: its number, stock and season."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import CrossPlan, Stock
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.shared.entries import PlanDraft
from registry.permissions import PLAN
from registry.queries.crosses.plans import free_plan_number
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Count
from registry.web.links import address


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


class DraftPlan(EntryView):
    """A new draft, to be filled by looking for its best crosses, or by hand."""

    form_class = DraftForm
    operation = draft_plan
    permission = PLAN
    title = "Draft a cross plan"
    button = "Draft it"

    def initial(self) -> dict[str, Any]:
        season = timezone.localdate().year
        return {"season": season, "number": free_plan_number(season), **super().initial()}

    def after(self, record: CrossPlan) -> str:
        return address("plan", record.number)
