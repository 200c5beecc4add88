"""Admit a fish: into the register for the first time."""

from typing import Any

from django import forms

from registry.models import Confidence, Origin, Parentage, Sex
from registry.operations.fish import admit_fish
from registry.operations.shared.entries import Admission
from registry.pages.fish.entries.choices import species, stocks, units
from registry.pages.fish.entries.pairs import Pairs
from registry.permissions import ENTER
from registry.queries.fish.families import pairs_of_family
from registry.rules.fixed.cautions import PERMITS
from registry.rules.reading import shown
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Code, Day
from registry.web.notations import KnownDay


class AdmissionForm(EntryForm):
    """In the order of the hands: the tag first, then what is seen, where it goes, and what the papers say."""

    number = forms.CharField(
        max_length=40, label="Register number", help_text="For life. Never used twice, whatever tag the fish bears."
    )
    tag = Code(required=False, label="Tag")
    tag_site = forms.CharField(
        required=False, max_length=60, label="Where the tag sits", help_text="Place on the body, and which side."
    )
    tagged_on = Day(required=False, label="Tagged on")
    species = forms.ChoiceField(required=False, choices=species, label="Species")
    confidence = forms.ChoiceField(choices=Confidence.choices, initial=Confidence.FIELD, label="Species known by")
    hybrid = forms.BooleanField(required=False, label="Held to be a hybrid")
    sex = forms.ChoiceField(choices=Sex.choices, initial=Sex.UNKNOWN, label="Sex")
    stock = forms.ChoiceField(required=False, choices=stocks, label="Stock")
    origin = forms.ChoiceField(choices=Origin.choices, initial=Origin.UNKNOWN, label="Origin")
    caught = KnownDay(label="Caught")
    caught_at = forms.CharField(required=False, max_length=120, label="Caught at")
    hatched = KnownDay(label="Hatched")
    unit = forms.ChoiceField(required=False, choices=units, label="Put into unit")
    tissue_sample = forms.CharField(
        required=False, max_length=40, label="Tissue sample", help_text="Number of the fin clip kept."
    )
    family = forms.CharField(
        required=False, max_length=40, label="Family",
        help_text="A family of the register gives the parents; leave them empty below.",
    )  # fmt: skip
    pairs = Pairs(help_text="Leave empty for a founder. Scan or type; one pair needs no probability.")
    basis = forms.ChoiceField(
        choices=Parentage.Basis.choices, initial=Parentage.Basis.RECORDED, label="Parents known from"
    )
    frozen_milt = forms.BooleanField(required=False, label="Bred with frozen milt")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea, label="Notes")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        family = data.get("family", "")
        if family and not data.get("pairs") and "pairs" in data:
            known = pairs_of_family(family)
            if known is None:
                message = f"There is no family “{shown(family)}”. Correct the number, or enter its parents below too."
                self.add_error("family", forms.ValidationError(message, "unknown_family"))
            else:
                data["family"], data["pairs"] = known
        return data

    def entry(self) -> Admission:
        """Return what the operation takes."""
        return Admission(**self.cleaned_data)


class Admit(EntryView):
    """Admit a fish."""

    form_class = AdmissionForm
    operation = admit_fish
    permission = ENTER
    title = "Admit a fish"
    button = "Admit"
    caution = PERMITS
    template_name = "registry/fish/entry.html"
    form_names = {"dam": "pairs", "sire": "pairs", "code": "tag", "attached_on": "tagged_on"}
