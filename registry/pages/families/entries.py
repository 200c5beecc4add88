"""The parents of a family determined anew."""

from typing import Any

from django import forms
from django.http import Http404

from registry.models import Family, Parentage
from registry.operations.parentage import FamilyParentsFound, determine_family
from registry.permissions import CORRECT
from registry.queries.fish.families import pairs_of_family
from registry.web.entry.correcting import Why
from registry.web.entry.pairs import Pairs
from registry.web.entry_view import EntryForm, EntryView
from registry.web.links import address


class ParentsForm(EntryForm):
    """Possible pairs with their probabilities, and on what evidence."""

    basis = forms.ChoiceField(choices=Parentage.Basis.choices, initial=Parentage.Basis.RECORDED, label="Evidence")
    pairs = Pairs(
        help_text="All that remain possible, with their probabilities; an empty place is an unknown parent. "
        "No row at all: its parents are not known."
    )
    reason = Why(
        help_text="What was wrong, or the laboratory's report. It stands in the journal beside the correction."
    )

    def entry(self) -> dict[str, Any]:
        """Return what was typed."""
        return self.cleaned_data


class CorrectParents(EntryView):
    """Holds the parents that stand; what is typed over them is the correction. The family comes from the address."""

    form_class = ParentsForm
    operation = determine_family
    permission = CORRECT
    title = button = "Correct the parents"
    template_name = "registry/fish/entry.html"
    form_names = {"dam": "pairs", "sire": "pairs"}

    def family(self) -> tuple[str, Any]:
        """Return the family's own spelling and its parents as they stand."""
        found = pairs_of_family(self.kwargs["number"])
        if found is None:
            raise Http404
        return found

    def initial(self) -> dict[str, Any]:
        return {"pairs": self.family()[1]}

    def context(self) -> dict[str, Any]:
        return {"title": f"Correct the parents of family {self.family()[0]}"}

    def write(self, entry: dict[str, Any]) -> Any:
        return super().write(FamilyParentsFound(family=self.family()[0], **entry))

    def after(self, record: Family) -> str:
        return address("family", record.number)
