"""A stock opened, a policy figure set."""

from django import forms
from django.utils import timezone

from registry.models import Species
from registry.operations.catalogue import FigureSet, StockOpened, open_stock, set_figure
from registry.permissions import ADMINISTER
from registry.queries.catalogue import figure_keys
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Day, Measure
from registry.web.notations import named


def _species() -> list[tuple[str, str]]:
    rows = Species.objects.current().values_list("key", "scientific_name", "common_name")
    return [(key, f"{scientific} ({common})") for key, scientific, common in rows]


def _figures() -> list[tuple[str, str]]:
    held = figure_keys(timezone.localdate()).values()
    return [(row.key, f"{row.key.replace('_', ' ')} (now {row.value.normalize():f} {row.unit})") for row in held]


class StockForm(EntryForm):
    """A management unit bred on its own."""

    name = forms.CharField(max_length=80, label="Name", help_text="River and run, as the hatchery says it.")
    species = forms.ChoiceField(choices=named(_species), label="Species")
    river = forms.CharField(required=False, max_length=80, label="River")

    def entry(self) -> StockOpened:
        """Return what the operation takes."""
        return StockOpened(**self.cleaned_data)


class FigureForm(EntryForm):
    """Which figure, its new value, from when, and who says so."""

    key = forms.ChoiceField(choices=named(_figures), label="Figure")
    value = Measure(required=True, min_value=0, max_digits=14, decimal_places=6, label="New value")
    in_force_from = Day(label="In force from", initial=timezone.localdate)
    source = forms.CharField(
        max_length=1000, widget=forms.Textarea, label="Source", help_text="Who decided it, or where it is printed."
    )

    def entry(self) -> FigureSet:
        """Return what the operation takes; unit and meaning of a figure stay."""
        held = figure_keys(timezone.localdate())[self.cleaned_data["key"]]
        return FigureSet(unit=held.unit, meaning=held.meaning, **self.cleaned_data)


class OpenStock(EntryView):
    """Open a stock."""

    form_class = StockForm
    permission = ADMINISTER
    title = "Open a stock"
    button = "Open"
    operation = open_stock
    warns = False
    then = "stock_list"


class SetFigure(EntryView):
    """Set a policy figure."""

    form_class = FigureForm
    permission = ADMINISTER
    title = "Set a policy figure"
    button = "Set"
    operation = set_figure
    warns = False
    then = "figure_list"
