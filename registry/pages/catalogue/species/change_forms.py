"""What the manager fills in to change the catalogue: a value, its source, and why."""

from typing import Any

from django import forms

from registry.models import RiverStanding
from registry.queries.catalogue.profiles import river_names
from registry.queries.catalogue.species import species_choices
from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.facts import CLASSES, PLOIDIES, LookShare, NameAdded, SpeciesOpened, StandingSet
from registry.web.entry_view import EntryForm
from registry.web.fields import Count, Measure, Offering
from registry.web.notations import named

ENDS = {"low": "Lowest printed", "usual_low": "Usual from", "usual_high": "Usual to", "high": "Highest printed"}
NUMBER = {"max_digits": 12, "decimal_places": 3, "min_value": 0}
KINDS = [
    ("accepted", "Accepted by an authority"), ("synonym", "Synonym"), ("vernacular", "Vernacular"),
    ("code", "Three-letter code"),
]  # fmt: skip


def source(required: bool = True) -> forms.CharField:
    """Return the field for where a value is printed."""
    help_text = "Where it is printed, or who measured it. Not needed when a value is taken back."
    return forms.CharField(
        required=required,
        max_length=1000,
        widget=forms.Textarea,
        label="Source",
        help_text="" if required else help_text,
    )


def reason() -> forms.CharField:
    """Return the field for why a value changes."""
    help_text = "It stands in the journal beside the change."
    return forms.CharField(max_length=4000, widget=forms.Textarea, label="Why", help_text=help_text)


def scored() -> forms.BooleanField:
    """Return the box that says whether species are told apart by this."""
    return forms.BooleanField(
        required=False, initial=True, label="Tell species apart by it",
        help_text="Leave it empty where sources contradict each other.",
    )  # fmt: skip


class FigureForm(EntryForm):
    """A range; all ends empty takes the figure back."""

    low = Measure(label=ENDS["low"], help_text="All four empty: the figure is taken back.", **NUMBER)
    usual_low = Measure(label=ENDS["usual_low"], **NUMBER)
    usual_high = Measure(label=ENDS["usual_high"], **NUMBER)
    high = Measure(label=ENDS["high"], **NUMBER)
    scored = scored()
    source = source(required=False)
    note = forms.CharField(required=False, max_length=1000, widget=forms.Textarea, label="Note")
    reason = reason()

    def entry(self) -> dict[str, Any]:
        """Return what was typed; the address says of what it is."""
        return self.cleaned_data


class LooksForm(EntryForm):
    """How often each look is found, and on what grounds; one field for each look of the character."""

    scored = scored()
    source = source(required=False)
    note = forms.CharField(required=False, max_length=1000, widget=forms.Textarea, label="Note")
    reason = reason()

    def __init__(self, *args: Any, character: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        shares = {
            f"share_{state.key}": Measure(
                label=state.words[:1].upper() + state.words[1:], min_value=0, max_value=1, max_digits=4,
                decimal_places=3, help_text="As a share of the fish, 0 to 1.",
            )
            for state in BY_KEY[character].states
        }  # fmt: skip
        self.fields = shares | self.fields

    def entry(self) -> dict[str, Any]:
        """Return what was typed; the address says of what it is."""
        told = self.cleaned_data
        shares = tuple(
            LookShare(name.removeprefix("share_"), value)
            for name, value in told.items()
            if name.startswith("share_") and value
        )
        return {name: told[name] for name in ("scored", "source", "note", "reason")} | {"shares": shares}


class OpenForm(EntryForm):
    """A species that the catalogue lacks; what it shows is added on its own page afterwards."""

    scientific_name = forms.CharField(max_length=80, label="Scientific name", help_text="Genus and species.")
    common_name = forms.CharField(max_length=80, label="Common name")
    code = forms.CharField(required=False, max_length=10, label="Three-letter code")
    ploidy = forms.TypedChoiceField(
        choices=[(n, str(n)) for n in PLOIDIES], coerce=int, label="Gene copies, in function",
        help_text="They cannot be changed later: all kinship rests on them.",
    )  # fmt: skip
    chromosome_class = forms.ChoiceField(choices=[(one, one) for one in CLASSES], label="Chromosome number")
    max_length_mm = Count(max_value=1_000_000_000, label="Largest total length known")
    max_mass_g = Count(max_value=1_000_000_000, label="Largest mass known")
    source = source()
    reason = reason()

    def entry(self) -> SpeciesOpened:
        """Return what the operation takes."""
        return SpeciesOpened(**self.cleaned_data)


class NameForm(EntryForm):
    """A name and who uses it."""

    species = forms.ChoiceField(choices=named(species_choices), label="Species")
    kind = forms.ChoiceField(choices=KINDS, label="Kind")
    name = forms.CharField(max_length=80, label="Name")
    authority = forms.CharField(required=False, max_length=80, label="Authority", help_text="Of an accepted name.")
    year = Count(required=False, max_value=2200, label="Year", help_text="Of the authority's list or work.")
    source = source()
    reason = reason()

    def entry(self) -> NameAdded:
        """Return what the operation takes."""
        return NameAdded(**self.cleaned_data)


class StandingForm(EntryForm):
    """A river, and whether the species belongs to it."""

    species = forms.ChoiceField(choices=named(species_choices), label="Species")
    river = forms.CharField(max_length=80, label="River")
    standing = forms.ChoiceField(choices=RiverStanding.Standing.choices, label="In this river it is")
    source = source()
    reason = reason()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["river"].widget = Offering(river_names(), self.fields["river"].widget.attrs)

    def entry(self) -> StandingSet:
        """Return what the operation takes."""
        return StandingSet(**self.cleaned_data)
