"""Admit a fish: into the register for the first time."""

from dataclasses import replace
from typing import Any

from django import forms
from django.utils import timezone

from registry.errors import Objection, Refused
from registry.models import Confidence, Origin, Parentage, Sex
from registry.operations.fish import ADMISSION, admit_fish
from registry.operations.shared.entries import Admission
from registry.pages.fish.entries.choices import species, stocks, units
from registry.permissions import ENTER
from registry.queries.fish.families import pairs_of_family
from registry.queries.known import known
from registry.rules.fixed.cautions import PERMITS
from registry.rules.identity.likeness import Candidate, Seen
from registry.rules.reading import shown
from registry.web.entry.pairs import Pairs
from registry.web.entry.same_fish import asked_about, offered
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
    set_aside = forms.CharField(
        required=False, max_length=120, label="If another fish bears this tag: why it is another",
        help_text="The code is then set aside and the fish taken in; leave it empty otherwise.",
    )  # fmt: skip

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
    template_name = "registry/fish/identity/admit.html"
    form_names = {
        "dam": "pairs", "sire": "pairs", "code": "tag", "attached_on": "tagged_on", "read_on": "tagged_on",
        "reason": "set_aside",
    }  # fmt: skip
    may_be: tuple[Candidate, ...] = ()

    def _typed(self) -> dict[str, str]:
        given = self.request.POST
        along = {"code": "tag", "site": "tag_site", "day": "tagged_on", "place": "caught_at", "unit": "unit"}
        return {name: given.get(field, "") for name, field in along.items()}

    def context(self) -> dict[str, Any]:
        return {"may_be": asked_about(self.request, self.may_be, self._typed())}

    def write(self, entry: Admission) -> Any:
        """Write the fish once somebody has looked whether it is one that the register knows."""
        asked, apart = offered(self.request, seen_of(entry)) if not entry.left else ([], ())
        self.may_be = tuple(asked)
        if asked:
            numbers = ", ".join(one.number for one in asked)
            text = f"It may be a fish that the register knows: {numbers}. Look at each below, and say which it is."
            held = ADMISSION.judge(entry, known(ADMISSION.named(entry)))
            raise Refused([*(one for one in held if not one.warning), Objection("same_fish", "", text)])
        return super().write(replace(entry, held_apart=apart))


def seen_of(entry: Admission) -> Seen:
    """Return what the form tells of the fish in hand."""
    caught = entry.caught.first if entry.caught else timezone.localdate()
    return Seen(
        on=entry.tagged_on or caught,
        code=entry.tag,
        species=entry.species,
        stock=entry.stock,
        sex=entry.sex,
        unit=entry.unit,
        place=entry.caught_at,
    )
