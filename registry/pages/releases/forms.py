"""What is typed of a release or a recapture, and the entries made of it."""

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.html import escape

from registry.models import Recapture, ReleaseDetails
from registry.operations.corrections import Correction
from registry.operations.shared.entries import BatchPart, RecaptureMade, ReleaseMade
from registry.queries.books.batches import marks_of_batches
from registry.web.entry.lines import add_lines, filled
from registry.web.entry.quantities import Coordinate, FishCount, position_of
from registry.web.entry_view import EntryForm
from registry.web.fields import Code, Day, FishNumber, Offering, PermitNumber, PermitReason
from registry.web.notations import Length, Mass

PARTS, SCANNED = ("batch", "count"), ("fish",)
DEGREES = "In any notation: 47.1609, 47°09'39.2\"N, 47 09.654 N."
PERMIT = "The number of the permit that covers this release."


def line(label: str, **options: Any) -> forms.CharField:
    """Return a text of one line that may be left empty."""
    return forms.CharField(**{"label": label, "required": False, "max_length": 120} | options)


def long_text(label: str, **options: Any) -> forms.CharField:
    """Return a text of several lines."""
    widget = forms.Textarea(attrs={"rows": 3})
    return forms.CharField(**{"label": label, "required": False, "max_length": 4000, "widget": widget} | options)


class ReleaseForm(EntryForm):
    """A release: parts of batches, registered fish, or both."""

    released_on = Day(label="Released on", initial=timezone.localdate)
    place = line("Place", required=True, help_text="As it is called on the permit.")
    latitude = Coordinate(label="Latitude", help_text=DEGREES)
    longitude = Coordinate(label="Longitude")
    permit = PermitNumber(help_text=PERMIT)
    permit_reason = PermitReason()
    mark = line("Batch mark", help_text="What all of them bear: coded wire, elastomer colour and place, fin clip.")
    mean_mass_g = Mass(label="Mean weight")
    stage = line("Stage", max_length=30, help_text="Such as fingerlings, yearlings.")
    number = line("Release number", max_length=40, help_text="Empty: the register gives one.")
    notes = long_text("Notes", help_text="Transport, acclimation, dead on arrival, health certificate, witnesses.")

    def __init__(self, *args: Any, lines: dict[str, int], **options: Any) -> None:
        super().__init__(*args, **options)
        given = self.data or self.initial
        marks = marks_of_batches([str(given.get(f"batch_{number}", "")) for number in range(lines["batch"])])
        self.fields["mark"].widget = Offering(marks, self.fields["mark"].widget.attrs)
        if marks:
            self.fields["mark"].help_text = f"On record for these batches: {escape('; '.join(marks))}."
        parts = {"batch": lambda: line("Batch", max_length=40), "count": lambda: FishCount(label="Fish released")}
        add_lines(self, parts, lines["batch"])
        add_lines(self, {"fish": lambda: FishNumber(label="Tag or register number")}, lines["fish"])

    def clean(self) -> dict[str, Any]:
        position_of(self)
        for number, values in filled(self, PARTS):
            for name, text in (("batch", "Of which batch? Write its number."), ("count", "How many? Give a number.")):
                if values[name] in (None, "") and f"{name}_{number}" not in self.errors:
                    self.add_error(f"{name}_{number}", text)
        return self.cleaned_data

    def entry(self) -> ReleaseMade:
        """Return what the operation takes."""
        names = ("released_on", "place", "number", "latitude", "longitude", "permit", "permit_reason", "mark",
                 "mean_mass_g", "stage", "notes")  # fmt: skip
        return ReleaseMade(
            batches=tuple(BatchPart(**part) for _, part in filled(self, PARTS)),
            fish=tuple(one["fish"] for _, one in filled(self, SCANNED)),
            **{name: self.cleaned_data[name] for name in names},
        )


class RecaptureForm(EntryForm):
    """A fish met again: by its tag, by a mark, or without any."""

    code = Code(label="Tag code", required=False, help_text="Scan it. Links the fish for certain.")
    fish = FishNumber(label="Register number", required=False, help_text="If it is known in another way.")
    release = line("Release", max_length=40, help_text="If a batch mark tells which release; the link is probable.")
    marks = line("Marks", max_length=200, help_text="Marks found, and marks missing though expected.")
    recaptured_on = Day(label="Met on", initial=timezone.localdate)
    place = line("Place", required=True)
    latitude = Coordinate(label="Latitude", help_text=DEGREES)
    longitude = Coordinate(label="Longitude")
    total_length_mm = Length(label="Total length")
    mass_g = Mass(label="Weight")
    alive = forms.BooleanField(label="It was alive", required=False, initial=True)
    released_again = forms.BooleanField(label="It was let go again", required=False, initial=True)
    reported_by = line("Reported by", max_length=80, help_text="A role, such as angler or warden; no name.")
    number = line("Recapture number", max_length=40, help_text="Empty: the register gives one.")
    notes = long_text("Notes", help_text="Fin clip taken, how it was caught.")

    def clean(self) -> dict[str, Any]:
        position_of(self)
        return self.cleaned_data

    def entry(self) -> RecaptureMade:
        """Return what the operation takes."""
        return RecaptureMade(**self.cleaned_data)


class ReleaseCorrectionForm(EntryForm):
    """Place, position, permit and marks of a release as they should read, and why."""

    place = line("Place", required=True)
    latitude = Coordinate(label="Latitude", help_text=DEGREES)
    longitude = Coordinate(label="Longitude")
    permit = PermitNumber(help_text=PERMIT)
    mark = line("Batch mark")
    mean_mass_g = Mass(label="Mean weight")
    notes = long_text("Notes")
    reason = long_text("Why", required=True)

    def __init__(self, *args: Any, record: ReleaseDetails, **options: Any) -> None:
        super().__init__(*args, **options)
        self.record = record

    def clean(self) -> dict[str, Any]:
        position_of(self)
        return self.cleaned_data

    def entry(self) -> Correction:
        """Return what the operation takes."""
        changes = {name: value for name, value in self.cleaned_data.items() if name != "reason"}
        return Correction(record=self.record, changes=changes, reason=self.cleaned_data["reason"])


def how_linked(recapture: Recapture) -> str:
    """Return in words how sure it is which fish or release was met again."""
    if recapture.link == Recapture.Link.CERTAIN:
        return "certain: its code, or its register number, names the fish"
    if recapture.link == Recapture.Link.PROBABLE:
        return "probable: a batch mark names the release, not the fish"
    return "none: no code and no mark. No mark is never evidence of wild origin; only genotyping can tell"
