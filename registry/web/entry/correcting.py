"""Corrections: the page holds what stands in a row; what is typed over it is the correction, with its reason."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from registry.models import Capture, Check, Fish, FishDetails, HoldingUnit, Record, Species, Stock
from registry.operations.corrections import Correction, correct
from registry.operations.intake.corrections import TakenBack, take_back
from registry.operations.shared.stays import owner_of
from registry.permissions import CORRECT
from registry.queries.known import day_of
from registry.rules.intake.zones import zone_of
from registry.web.entry_view import EntryForm, EntryView
from registry.web.links import address

DAYS = ("caught", "hatched", "left")


class Why(forms.CharField):
    """The reason of a correction."""

    def __init__(self, **options: Any) -> None:
        help_text = "It stands in the journal beside the correction."
        widget = forms.Textarea(attrs={"rows": 3})
        given = {"max_length": 4000, "widget": widget, "label": "Why", "help_text": help_text}
        super().__init__(**given | options)


class TakeBackForm(EntryForm):
    """Why it should not stand."""

    reason = Why()

    def entry(self) -> str:
        """Return the reason."""
        return self.cleaned_data["reason"]


class Correct(EntryView):
    """Holds what stands; what is typed over it is the correction. Form, title and rows come from the address."""

    form_class = EntryForm
    operation = correct
    permission = CORRECT
    title = button = "Correct"
    rows: QuerySet = Check.objects.none()
    form_names = {
        "species_id": "species", "stock_id": "stock", "caught_on": "caught", "hatched_on": "hatched", "system": "code",
        "unit_id": "unit", "male_id": "male",
    }  # fmt: skip

    def record(self) -> Record:
        """Return the row to correct."""
        wanted = {"fish__number": self.kwargs["number"]} if "number" in self.kwargs else {"pk": self.kwargs["pk"]}
        return get_object_or_404(self.rows.all(), **wanted)

    def initial(self) -> dict[str, Any]:
        record = self.record()
        return {name: standing(record, name) for name in self.form_class.base_fields if name != "reason"}

    def context(self) -> dict[str, Any]:
        return {"title": " ".join((self.title, *owner_of(self.record()))).replace("_", " ")}

    def write(self, entry: dict[str, Any]) -> Any:
        record = self.record()
        typed = {name: value for name, value in entry.items() if name != "reason"}
        changes = {name: value for name, value in typed.items() if getattr(record, name) != value}
        return super().write(Correction(record=record, changes=changes, reason=entry["reason"]))

    def after(self, record: Any) -> str:
        return address(*owner_of(record))


class TakeBack(EntryView):
    """Take a row back. `rows` comes from the address."""

    form_class = TakeBackForm
    operation = take_back
    permission = CORRECT
    title = button = "Take back"
    warns = False
    rows: QuerySet = Check.objects.none()

    def record(self) -> Record:
        """Return the row that should not stand."""
        return get_object_or_404(self.rows.all(), pk=self.kwargs["pk"])

    def context(self) -> dict[str, Any]:
        return {"title": f"Take back: {self.record()}"}

    def write(self, entry: str) -> Any:
        return super().write(TakenBack(record=self.record(), reason=entry))

    def after(self, record: Any) -> str:
        return address(*owner_of(record))


def standing(record: Record, name: str) -> Any:
    """Return what stands in a row, as the form's field of that name takes it."""
    day = "left" if name == "left_on" and isinstance(record, FishDetails) else name
    if isinstance(record, FishDetails) and day in DAYS and name != "left":
        return day_of(getattr(record, f"{day}_on"), getattr(record, f"{day}_precision"))
    value = getattr(record, name)
    if isinstance(record, Capture) and name == "caught_at":
        return f"{value.astimezone(zone_of(record.zone)):%Y-%m-%dT%H:%M}"
    if isinstance(value, Species):
        return value.key
    if isinstance(value, Fish):
        return value.number
    return value.name if isinstance(value, Stock | HoldingUnit) else value
