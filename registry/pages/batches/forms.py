"""What is typed of a batch, and the entries made of it."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from registry.models import HoldingUnit, Transfer
from registry.operations.corrections import Correction
from registry.operations.shared.entries import (
    Admission,
    BatchMove,
    BatchOpening,
    Census,
    FamilyShare,
    Merge,
    Registration,
    Split,
    Taking,
)
from registry.rules.ledger import rounded_shares
from registry.web.entry.lines import add_lines, filled
from registry.web.entry.quantities import FishCount
from registry.web.entry_view import EntryForm
from registry.web.fields import Code, Day
from registry.web.notations import Percent

SHARE_MISSING = "This family's share is missing. Give every share, or none for equal parts."
COUNTING = "12 400, 12.400 and 12k are understood."
TAKEN = [("loss", "Lost: found dead or gone"), ("sample", "Sampled: fixed, or sent to a laboratory"),
         ("cull", "Culled"), ("transfer", "Transferred out, to another hatchery")]  # fmt: skip
SEXES = [("U", "not known"), ("F", "♀ female"), ("M", "♂ male"), ("I", "⚥ intersex")]
FAMILIES, FISH = ("family", "share"), ("number", "tag", "sex")


def units() -> list[tuple[str, str]]:
    """Return the holding units to choose from."""
    names = HoldingUnit.objects.current().select_related("facility").values_list("name", "facility__name")
    return [("", "–"), *((name, f"{name}, {facility}") for name, facility in names)]


def batch_number(label: str = "Batch") -> forms.CharField:
    """Return a field for a batch's number."""
    return forms.CharField(label=label, max_length=40, widget=forms.TextInput(attrs={"class": "code"}))


def day(label: str) -> Day:
    """Return a day field that holds today at first."""
    return Day(label=label, initial=timezone.localdate)


def line(label: str, **options: Any) -> forms.CharField:
    """Return a text of one line that may be left empty."""
    return forms.CharField(**{"label": label, "required": False, "max_length": 60} | options)


def notes() -> forms.CharField:
    """Return a field for notes."""
    return forms.CharField(label="Notes", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))


def stage() -> forms.CharField:
    """Return a field for the stage of life."""
    return line("Stage", max_length=30, help_text="Such as eggs, yolk-sac larvae, fed larvae, fingerlings.")


class OpeningForm(EntryForm):
    """A new batch: how many fish of which families."""

    number = batch_number("Number of the new batch")
    opened_on = day("Opened on")
    count = FishCount(label="Number of fish", help_text=COUNTING)
    unit = forms.ChoiceField(label="Holding unit", choices=units, required=False)
    stage = stage()
    method = line("How they were counted", help_text="Such as counted one by one, by volume, by weight.")
    uncertainty = FishCount(label="Plus or minus", required=False, help_text="How far off the count may be.")
    notes = notes()

    def __init__(self, *args: Any, lines: int = 3, **options: Any) -> None:
        super().__init__(*args, **options)
        makers = {"family": lambda: batch_number("Family"), "share": lambda: Percent(label="Share of the fish")}
        add_lines(self, makers, lines)

    def clean(self) -> dict[str, Any]:
        if not any(self.errors.get(f"share_{n}") for n, _ in filled(self, FAMILIES)):
            self._shares()
        return self.cleaned_data

    def _shares(self) -> None:
        """Read the shares of the lines: all given, summing to 100 %, or none given for equal parts."""
        found = filled(self, FAMILIES)
        for number in [number for number, values in found if not values["family"]]:
            self.add_error(f"family_{number}", ValidationError("Which family has this share? Write its number."))
        given = [(number, values["share"]) for number, values in found]
        bare = [number for number, share in given if share is None]
        if bare and len(bare) < len(given):
            for number in bare:
                self.add_error(f"share_{number}", ValidationError(SHARE_MISSING))
            return
        total = sum((share for _, share in given if share is not None), Decimal(0))
        if given and not bare and total != 100:
            text = f"The shares sum to {total.normalize():f} %, not to 100 %. Correct them."
            self.add_error(f"share_{given[-1][0]}", ValidationError(text))

    def entry(self) -> BatchOpening:
        """Return what the operation takes."""
        values = self.cleaned_data
        found = [line for _, line in filled(self, FAMILIES)]
        parts = {str(n): line["share"] if line["share"] is not None else Decimal(1) for n, line in enumerate(found)}
        shares = rounded_shares(parts)
        families = tuple(
            FamilyShare(family=line["family"], share=shares.get(str(n), Decimal(0))) for n, line in enumerate(found)
        )
        names = ("number", "opened_on", "count", "unit", "stage", "method", "uncertainty", "notes")
        return BatchOpening(families=families, **{name: values[name] for name in names})


class TakingForm(EntryForm):
    """Fish taken out of a batch."""

    batch = batch_number()
    event = forms.ChoiceField(label="What happened", choices=TAKEN, widget=forms.RadioSelect, initial="loss")
    count = FishCount(label="Number of fish", help_text=COUNTING)
    moved_on = day("On")
    stage = stage()
    notes = notes()

    def entry(self) -> Taking:
        """Return what the operation takes."""
        return Taking(**self.cleaned_data)


class CensusForm(EntryForm):
    """A batch counted or estimated anew."""

    batch = batch_number()
    counted = FishCount(label="Fish counted", help_text=f"{COUNTING} 0 is a count too.")
    uncertainty = FishCount(label="Plus or minus", required=False, help_text="How far off the count may be.")
    method = line("How they were counted", required=True, help_text="Such as counted one by one, by weight, by photo.")
    moved_on = day("Counted on")
    stage = stage()
    notes = notes()

    def entry(self) -> Census:
        """Return what the operation takes."""
        return Census(**self.cleaned_data)


class SplitForm(EntryForm):
    """Part of a batch becomes a new one."""

    batch = batch_number("Batch to split")
    new_number = batch_number("Number of the new batch")
    count = FishCount(label="Fish that go into the new batch", help_text=COUNTING)
    unit = forms.ChoiceField(label="Holding unit of the new batch", choices=units, required=False)
    moved_on = day("Split on")
    stage = stage()
    notes = notes()

    def entry(self) -> Split:
        """Return what the operation takes."""
        return Split(**self.cleaned_data)


class MergeForm(EntryForm):
    """Fish of one batch go into another."""

    batch = batch_number("Fish of batch")
    into = batch_number("Go into batch")
    count = FishCount(label="Number of fish", help_text=COUNTING)
    unit = forms.ChoiceField(
        label="Holding unit they are in now",
        choices=units,
        required=False,
        help_text="Empty: where the second batch is.",
    )
    moved_on = day("Merged on")
    stage = stage()
    notes = notes()

    def entry(self) -> Merge:
        """Return what the operation takes."""
        return Merge(**self.cleaned_data)


class MoveForm(EntryForm):
    """A batch goes to another holding unit."""

    batch = batch_number()
    unit = forms.ChoiceField(label="Goes to holding unit", choices=units)
    moved_on = day("Moved on")
    notes = notes()

    def entry(self) -> BatchMove:
        """Return what the operation takes."""
        return BatchMove(**self.cleaned_data)


class RegistrationForm(EntryForm):
    """Fish of a batch that get a number and a tag of their own."""

    batch = batch_number()
    moved_on = day("Registered on")
    notes = notes()

    def __init__(self, *args: Any, lines: int = 6, **options: Any) -> None:
        super().__init__(*args, **options)
        makers = {
            "number": lambda: batch_number("Register number"),
            "tag": lambda: Code(label="Tag"),
            "sex": lambda: forms.ChoiceField(label="Sex", choices=SEXES),
        }
        add_lines(self, makers, lines)

    def clean(self) -> dict[str, Any]:
        for number, values in filled(self, FISH):
            if not values["number"] and f"number_{number}" not in self.errors:
                text = "This fish has no register number. Give it one; it keeps it for life."
                self.add_error(f"number_{number}", ValidationError(text))
        return self.cleaned_data

    def entry(self) -> Registration:
        """Return what the operation takes."""
        values = self.cleaned_data
        found = [line | {"sex": line["sex"] or "U"} for _, line in filled(self, FISH)]
        fish = tuple(Admission(tagged_on=values["moved_on"], **line) for line in found)
        return Registration(fish=fish, **{name: values[name] for name in ("batch", "moved_on", "notes")})


class TransferCorrectionForm(EntryForm):
    """The right number of a movement, and why the one entered was wrong."""

    count = FishCount(label="The right number of fish", help_text=COUNTING)
    notes = notes()
    reason = forms.CharField(label="Why", max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(self, *args: Any, record: Transfer, **options: Any) -> None:
        super().__init__(*args, **options)
        self.record = record

    def entry(self) -> Correction:
        """Return what the operation takes."""
        values = self.cleaned_data
        changes = {"count": values["count"], "notes": values["notes"]}
        return Correction(record=self.record, changes=changes, reason=values["reason"])
