"""What is typed as a fish is taken in, in the order of the hands; and the one entry made of it."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import Confidence, HealthLook, MarkSearch, Origin, Sex
from registry.pages.intake.arrive.parts import PHOTOS, SAMPLES, arrival_of
from registry.pages.intake.choices import permits_for_capture, quarantine_units, species, stocks, units, zones
from registry.rules.intake.arrivals import Arrival
from registry.rules.intake.zones import zone_of
from registry.web.entry.characters import unseen_fields
from registry.web.entry.pictures import Clock, PhotoUpload
from registry.web.entry.quantities import Coordinate, position_of
from registry.web.entry_view import EntryForm
from registry.web.fields import Code, Count, Day, Measure, Offering
from registry.web.notations import Length, Mass, some

DEGREES = "In any notation: 47.1609, 47°09'39.2\"N, 47 09.654 N."
SIDES = {
    "dorsal": "From above, the whole fish straight on the board.",
    "left": "The whole left side.",
    "ventral": "The head from below: lip, barbels, mouth.",
}
TUBE = "As printed on the tube. One tube a fish; nobody else's number."


UNITS = {"uncertainty_m": "m", "river_km": "km", "transport_minutes": "min", "density_kg_m3": "kg/m³",
         "oxygen_mg_l": "mg/L"}  # fmt: skip


def line(label: str, most: int = 120, **options: Any) -> forms.CharField:
    """Return a text of one line that may be left empty."""
    return forms.CharField(**{"label": label, "required": False, "max_length": most} | options)


class ArrivalForm(EntryForm):
    """Marks first, then what fish it is, how it came, what was measured and taken, where it goes."""

    tag = Code(
        required=False, label="PIT tag that it bears", help_text="Scan it. A code of the register opens its fish."
    )
    tag_new = forms.BooleanField(required=False, label="Put in today")
    tag_site = line("Where the tag sits", 60, help_text="Place on the body, and which side.")
    set_aside = line(
        "If another fish bears this tag: why it is another", help_text="The code is set aside, the fish taken in."
    )

    number = line("Register number", 40, required=True, help_text="For life; the next free one is offered.")
    species = forms.ChoiceField(required=False, choices=species, label="Species")
    confidence = forms.ChoiceField(choices=Confidence.choices, initial=Confidence.FIELD, label="Species known by")
    evidence = line("Evidence for it", help_text="Number of a laboratory's report, of photographs.")
    hybrid = forms.BooleanField(required=False, label="Held to be a hybrid")
    stock = forms.ChoiceField(required=False, choices=stocks, label="Stock")
    sex = forms.ChoiceField(choices=Sex.choices, initial=Sex.UNKNOWN, label="Sex")
    origin = forms.ChoiceField(choices=Origin.choices, initial=Origin.WILD, label="Origin")

    caught_at = Clock(label="Caught, day and clock time")
    zone = forms.ChoiceField(choices=zones, label="Clock of")
    place = line("Place", required=True, help_text="As the permit calls it.")
    latitude = Coordinate(label="Latitude", help_text=DEGREES)
    longitude = Coordinate(label="Longitude")
    uncertainty_m = Count(required=False, label="How exact", help_text="The true place may lie so far off.")
    river_km = Measure(max_digits=6, decimal_places=1, label="River kilometre", help_text="From the mouth upwards.")
    gear = line("Gear", 80, help_text="Net, mesh, line, hook.")
    crew = line("People", 200, help_text="Who caught and handled it, by role; no names.")
    permit = line("Permit", 60)
    permit_reason = line("Why it stands against its permit", help_text="A manager's word; else leave it empty.")

    total_length_mm = Length(label="Total length", help_text="Unit other than mm: write it, as in 74,5 cm.")
    fork_length_mm = Length(label="Fork length")
    girth_mm = Length(label="Girth", help_text="At its widest.")
    mass_g = Mass(label="Mass", help_text="Unit other than g: write it, as in 12.3 kg.")

    fin_clip = line("Fin clip, number", 40, help_text=TUBE)
    stored_at = line("Where the tube is", 80, help_text="Freezer, box, place.")
    second_tube = line("Where its second tube is", 80, help_text="For a founder: a second tube in another place.")
    ray = line("Fin ray, number", 40)
    blood = line("Blood, number", 40)
    swab = line("Swab, number", 40)

    score = forms.TypedChoiceField(
        required=False, coerce=int, empty_value=None, choices=some(*HealthLook.Score.choices), label="Health"
    )
    injuries = line("Injuries", 200)
    hook = forms.BooleanField(required=False, label="A hook, or the wound of one")

    transport = line("Container", help_text="And how many fish were in it.")
    transport_minutes = Count(required=False, label="On the way")
    density_kg_m3 = Measure(max_digits=6, decimal_places=1, label="Density")
    oxygen_mg_l = Measure(max_digits=4, decimal_places=1, label="Oxygen, lowest on the way")

    quarantine = forms.ChoiceField(required=False, choices=quarantine_units, label="Quarantine unit")
    quarantine_since = Day(required=False, label="In quarantine since", help_text="Empty: the day of the capture.")
    unit = forms.ChoiceField(required=False, choices=units, label="Or, without quarantine, into unit")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}), label="Notes")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        furnish(self)
        self.fields |= {name: field for name, field in unseen_fields().items() if name not in self.fields}
        for way, label in MarkSearch.Way.choices:
            slug = way.replace(" ", "_")
            self.fields[f"looked_{slug}"] = forms.BooleanField(required=False, label=f"{label}: looked")
            self.fields[f"found_{slug}"] = line(f"{label}: found")
            self.fields[f"found_{slug}"].widget.attrs["aria-label"] = f"{label}: what was found"
        for side, help_text in SIDES.items():
            self.fields[f"photo_{side}"] = PhotoUpload(label=PHOTOS[side][1], help_text=help_text)
            self.fields[f"scale_{side}"] = forms.BooleanField(required=False, label="A scale lies beside it")

    def clean(self) -> dict[str, Any]:
        data = by_its_clock(self)
        if data.get("quarantine") and data.get("unit"):
            self.add_error("unit", "It goes into quarantine already. Choose one of the two.")
        if data.get("quarantine_since") and not data.get("quarantine"):
            self.add_error("quarantine", "Say in which quarantine unit it is since that day.")
        if any(data.get(name) for name in ("stored_at", "second_tube")) and not any(data.get(s) for s in SAMPLES):
            self.add_error("fin_clip", "Where a tube is was written, but no number of a sample. Write it.")
        return data

    def entry(self) -> Arrival:
        """Return what the operation takes."""
        return arrival_of(self.cleaned_data)


def furnish(form: EntryForm) -> None:
    """Give the fields of a capture their units, and the permits to choose from."""
    form.fields["permit"].widget = Offering(permits_for_capture(), form.fields["permit"].widget.attrs)
    for name, unit in UNITS.items():
        form.fields[name].unit = unit


def by_its_clock(form: EntryForm) -> dict[str, Any]:
    """Return what was typed of a capture, its clock read in the zone of the place, its position whole."""
    position_of(form)
    data = form.cleaned_data
    if data.get("caught_at") and data.get("zone"):
        data["caught_at"] = data["caught_at"].replace(tzinfo=zone_of(data["zone"]))
    return data


def freshly(number: str) -> dict[str, Any]:
    """Return what the form holds at first."""
    now = timezone.localtime()
    return {"number": number, "caught_at": f"{now:%Y-%m-%dT%H:%M}", "quarantine_since": None}
