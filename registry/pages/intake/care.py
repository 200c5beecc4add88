"""Treatments, samples, photographs and looks at a fish, entered one by one."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import HealthLook, Photo, PloidyFound, TissueSample
from registry.operations.intake.arrivals import look_at_health
from registry.operations.intake.photos import add_photo
from registry.operations.intake.ploidy import record_ploidy
from registry.operations.intake.samples import take_sample
from registry.operations.intake.treatments import record_treatment
from registry.pages.intake.arrive.parts import photo_of
from registry.pages.intake.choices import SCAN, batch_number
from registry.permissions import ENTER
from registry.rules.fixed.cautions import ANAESTHETICS, MEDICINES
from registry.rules.intake.captures import HealthSeen
from registry.rules.intake.photos import PhotoTaken
from registry.rules.intake.ploidy import PloidyMeasured
from registry.rules.intake.samples import SampleTaken
from registry.rules.intake.treatments import TreatmentGiven
from registry.web.entry.pictures import PhotoUpload
from registry.web.entry.upload import tell_too_large
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Count, Day, FishNumber, Measure
from registry.web.notations import some


def line(label: str, most: int = 120, **options: Any) -> forms.CharField:
    """Return a text of one line that may be left empty."""
    return forms.CharField(**{"label": label, "required": False, "max_length": most} | options)


class TreatmentForm(EntryForm):
    """What was given, as the prescription says, and until when the fish are withheld."""

    fish = FishNumber(required=False, label="Fish", help_text=SCAN)
    batch = batch_number()
    given_on = Day(label="Given on", initial=timezone.localdate)
    product = line("Product", 80, required=True)
    product_batch = line("Batch of the product", 40)
    amount = line("Amount", 80, required=True, help_text="As written on the prescription, with its unit.")
    prescriber = line("Veterinarian", 80, required=True, help_text="Role or licence number; no name.")
    prescription = line("Prescription number", 60)
    withdrawal_until = Day(
        required=False, label="Withheld until", help_text="First day after the waiting time that label or vet give."
    )
    bars_crossing = forms.BooleanField(required=False, initial=True, label="No eggs or milt are used until then either")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}), label="Notes")

    def entry(self) -> TreatmentGiven:
        """Return what the operation takes."""
        return TreatmentGiven(**self.cleaned_data)


class SampleForm(EntryForm):
    """A numbered sample and its tubes."""

    fish = FishNumber(label="Fish", help_text=SCAN)
    kind = forms.ChoiceField(choices=TissueSample.Kind.choices, label="What was taken")
    number = line("Number on the tube", 40, required=True, help_text="No other sample has it.")
    taken_on = Day(label="Taken on", initial=timezone.localdate)
    stored_at = line("Where the tube is", 80, help_text="Freezer, box, place.")
    second_tube = line("Where a second tube is", 80, help_text="For a founder: in another place.")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}), label="Notes")

    def entry(self) -> SampleTaken:
        """Return what the operation takes."""
        return SampleTaken(**self.cleaned_data)


class PhotoForm(EntryForm):
    """One photograph from one side."""

    fish = FishNumber(label="Fish", help_text=SCAN)
    photo = PhotoUpload(label="Photograph", required=True, help_text="JPEG, PNG or WebP.")
    view = forms.ChoiceField(choices=Photo.View.choices, label="Seen")
    taken_on = Day(label="Taken on", initial=timezone.localdate)
    scale_shown = forms.BooleanField(required=False, label="A scale lies beside the fish")
    notes = line("Notes", 200)

    def entry(self) -> PhotoTaken:
        """Return what the operation takes."""
        data = dict(self.cleaned_data)
        return photo_of(data.pop("photo"), **data)


class HealthForm(EntryForm):
    """How a fish looks."""

    fish = FishNumber(label="Fish", help_text=SCAN)
    looked_on = Day(label="Looked at on", initial=timezone.localdate)
    score = forms.TypedChoiceField(
        required=False, coerce=int, empty_value=None, choices=some(*HealthLook.Score.choices), label="Health"
    )
    injuries = line("Injuries", 200)
    hook = forms.BooleanField(required=False, label="A hook, or the wound of one")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}), label="Notes")

    def entry(self) -> HealthSeen:
        """Return what the operation takes."""
        return HealthSeen(**self.cleaned_data)


class PloidyForm(EntryForm):
    """How many chromosome sets a laboratory found."""

    fish = FishNumber(label="Fish", help_text=SCAN)
    sets = Count(
        label="Chromosome sets",
        help_text="In function: a sterlet has 2, a Siberian sturgeon 4; a triploid sterlet 3. A report that counts by "
        "the evolutionary name has twice as many.",
    )
    method = forms.ChoiceField(choices=PloidyFound.Method.choices, label="By")
    measured_on = Day(label="Measured on", initial=timezone.localdate)
    by = line("Laboratory, report", required=True, help_text="Role or laboratory and report number; no name.")
    dna_pg = Measure(label="Relative DNA content (pg)")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}), label="Notes")

    def entry(self) -> PloidyMeasured:
        """Return what the operation takes."""
        return PloidyMeasured(**self.cleaned_data)


class Treat(EntryView):
    """Record a treatment."""

    form_class = TreatmentForm
    operation = record_treatment
    permission = ENTER
    title = "A treatment was given"
    caution = MEDICINES


class Sample(EntryView):
    """Record a sample."""

    form_class = SampleForm
    operation = take_sample
    permission = ENTER
    title = "A sample was taken"
    caution = ANAESTHETICS


class MeasurePloidy(EntryView):
    """Record the ploidy of a fish."""

    form_class = PloidyForm
    operation = record_ploidy
    permission = ENTER
    title = "Ploidy was measured"


class AddPhoto(EntryView):
    """Keep a photograph."""

    form_class = PhotoForm
    operation = add_photo
    permission = ENTER
    title = "Add a photograph"
    button = "Keep it"

    def page(self, form: Any, *args: Any, **options: Any) -> Any:
        tell_too_large(form, self.request)
        return super().page(form, *args, **options)


class LookAtHealth(EntryView):
    """Note how a fish looks."""

    form_class = HealthForm
    operation = look_at_health
    permission = ENTER
    title = "How a fish looks"
