"""Determine parentage: later evidence replaces what was taken for true."""

from typing import Any

from django import forms
from django.shortcuts import get_object_or_404

from registry.models import FishDetails, Parentage
from registry.operations.parentage import ParentageFound, determine_parentage
from registry.permissions import CORRECT
from registry.queries.known import parent_pairs
from registry.web.entry.pairs import Pairs
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import FishNumber


class ParentageForm(EntryForm):
    """Possible pairs with their probabilities, and on what evidence."""

    fish = FishNumber(label="Fish", help_text="Scan it, or type its register number.")
    basis = forms.ChoiceField(choices=Parentage.Basis.choices, initial=Parentage.Basis.GENOTYPE, label="Evidence")
    pairs = Pairs(
        help_text="All that remain possible, with their probabilities; an empty place is an unknown parent. "
        "No row at all makes the fish a founder."
    )
    reason = forms.CharField(
        max_length=4000, widget=forms.Textarea, label="Why",
        help_text="Marker set, laboratory report, likelihood. It stands in the journal beside the change.",
    )  # fmt: skip

    def entry(self) -> ParentageFound:
        """Return what the operation takes."""
        return ParentageFound(**self.cleaned_data)


class Determine(EntryView):
    """Determine a fish's parentage."""

    form_class = ParentageForm
    operation = determine_parentage
    permission = CORRECT
    title = "Determine parentage"
    template_name = "registry/fish/entry.html"
    form_names = {"dam": "pairs", "sire": "pairs"}

    def initial(self) -> dict[str, Any]:
        """Return the fish named in the address with the parents that it has now."""
        number = self.request.GET.get("fish", "")
        if not number:
            return {}
        details = get_object_or_404(FishDetails.objects.current(), fish__number=number)
        pairs, _ = parent_pairs({details.parentage_id} if details.parentage_id else set())
        return {"fish": number, "pairs": pairs.get(details.parentage_id or 0, ())}
