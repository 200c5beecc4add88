"""What is typed of a batch in several lines: the families it is opened with, the fish registered out of it."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.operations.shared.entries import Admission, BatchOpening, FamilyShare, Registration
from registry.pages.batches.fields import COUNTING, batch_number, day, line, notes, stage, units
from registry.rules.young.ledger import rounded_shares
from registry.web.entry.lines import add_lines, filled
from registry.web.entry.quantities import FishCount
from registry.web.entry_view import EntryForm
from registry.web.fields import Code
from registry.web.notations import Percent

SHARE_MISSING = "This family's share is missing. Give every share, or none for equal parts."
SEXES = [("U", "not known"), ("F", "♀ female"), ("M", "♂ male"), ("I", "⚥ intersex")]
FAMILIES, FISH = ("family", "share"), ("number", "tag", "sex")


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
