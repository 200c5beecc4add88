"""A fish in hand: measured, sexed, staged."""

from django import forms
from django.utils import timezone

from registry.models import Check
from registry.operations.checks import record_measurement
from registry.operations.shared.entries import Measurement
from registry.pages.fish.entries.choices import stages
from registry.permissions import ENTER
from registry.rules.fixed.cautions import ANAESTHETICS
from registry.rules.tags import read_code
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Count, Day, FishNumber, Measure
from registry.web.links import address
from registry.web.notations import Length, Mass, some

FOUND = some(("F", "Female"), ("M", "Male"), ("I", "Intersex"), ("U", "Looked, could not tell"))
HOW = some(
    ("by hand", "By hand"), ("ultrasound", "Ultrasound"), ("biopsy", "Biopsy"), ("endoscope", "Endoscope"),
    ("milt", "Milt runs"), ("eggs", "Eggs run"),
)  # fmt: skip


class CheckForm(EntryForm):
    """What was found: in the order in which a fish goes over the measuring board."""

    fish = FishNumber(label="Fish", help_text="Scan it, or type its register number.")
    checked_on = Day(label="In hand on", initial=timezone.localdate)
    total_length_mm = Length(label="Total length", help_text="Unit other than mm: write it, as in 74,5 cm.")
    fork_length_mm = Length(label="Fork length")
    girth_mm = Length(label="Girth", help_text="At its widest.")
    mass_g = Mass(label="Mass", help_text="Unit other than g: write it, as in 12.3 kg.")
    sex_found = forms.ChoiceField(
        required=False, choices=FOUND, label="Sex found", help_text="Kept beside the sex on record; changes nothing."
    )
    stage = forms.ChoiceField(required=False, choices=stages, label="Maturity stage")
    method = forms.ChoiceField(required=False, choices=HOW, label="Found by")
    polarisation_index = Measure(
        min_value=0, max_value=1, decimal_places=3, label="Polarisation index",
        help_text="Distance of the nucleus from the animal pole as a share of the egg's diameter, mean of the oocytes.",
    )  # fmt: skip
    oocytes_measured = Count(required=False, max_value=1000, label="Oocytes measured")
    water_c = Measure(max_digits=4, decimal_places=1, min_value=-2, max_value=40, label="Water")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea, label="Notes")

    def entry(self) -> Measurement:
        """Return what the operation takes; a scanned tag is kept as the evidence of which fish it was."""
        reading = read_code(self.data.get("fish", ""))
        return Measurement(code=None if reading.refused else reading.value, **self.cleaned_data)


class EnterCheck(EntryView):
    """Measure or check a fish."""

    form_class = CheckForm
    operation = record_measurement
    permission = ENTER
    title = "Measure or check a fish"
    caution = ANAESTHETICS

    def after(self, record: Check) -> str:
        return address("fish", record.fish.number)
