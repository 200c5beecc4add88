"""A holding unit opened, a water temperature logged."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import HoldingUnit, UnitKind, WaterSystem
from registry.operations.places import TemperatureRead, UnitOpened, log_temperature, open_unit
from registry.permissions import ADMINISTER, ENTER
from registry.queries.places import water_systems
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Measure
from registry.web.links import address
from registry.web.notations import named


class UnitForm(EntryForm):
    """A tank, pond, cage, trough or jar."""

    name = forms.CharField(max_length=60, label="Name", help_text="As it is called in the hall; no other unit has it.")
    kind = forms.ChoiceField(choices=UnitKind.choices, label="Kind")
    facility = forms.CharField(max_length=80, label="Facility", help_text="Opened with the unit if it is new.")
    water_system = forms.CharField(
        required=False, max_length=80, label="Water system", help_text="Units that share it share one temperature."
    )

    def entry(self) -> UnitOpened:
        """Return what the operation takes."""
        return UnitOpened(**self.cleaned_data)


class TemperatureForm(EntryForm):
    """Which water, how warm, when."""

    water_system = forms.ChoiceField(choices=named(water_systems), label="Water system")
    water_c = Measure(required=True, max_digits=4, decimal_places=1, label="Temperature")
    read_at = forms.DateTimeField(
        label="Read at", initial=timezone.localtime,
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S"],
        error_messages={"invalid": "This is not a time. Pick it, or write it as 2026-05-03T14:05."},
    )  # fmt: skip

    def clean_read_at(self) -> Any:
        read_at = self.cleaned_data["read_at"]
        if read_at > timezone.now():
            raise forms.ValidationError("This time lies in the future. Correct it.", "future_date")
        return read_at

    def entry(self) -> TemperatureRead:
        """Return what the operation takes."""
        water = WaterSystem.objects.select_related("facility").get(pk=self.cleaned_data["water_system"])
        return TemperatureRead(
            facility=water.facility.name,
            water_system=water.name,
            read_at=self.cleaned_data["read_at"],
            water_c=self.cleaned_data["water_c"],
        )


class OpenUnit(EntryView):
    """Open a holding unit."""

    form_class = UnitForm
    permission = ADMINISTER
    title = "Open a holding unit"
    button = "Open"
    operation = open_unit
    warns = False

    def after(self, record: HoldingUnit) -> str:
        return address("unit", record.name)


class LogTemperature(EntryView):
    """Log a water temperature."""

    form_class = TemperatureForm
    permission = ENTER
    title = "Log a water temperature"
    button = "Log"
    operation = log_temperature
    warns = False
    then = "unit_list"
