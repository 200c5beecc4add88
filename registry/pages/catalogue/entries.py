"""A stock opened, a policy figure set."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import Species, Stock
from registry.operations.catalogue import (
    FigureSet,
    InheritanceSet,
    StockOpened,
    open_stock,
    set_figure,
    set_inheritance,
)
from registry.permissions import ADMINISTER
from registry.queries.catalogue import figure_keys, inheritance_rows
from registry.rules.inheritance import GENE_COPIES, MOST_DOUBLE_REDUCTION
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


def _stocks() -> list[tuple[str, str]]:
    rows = Stock.objects.current().values_list("name", "species__scientific_name")
    return [(name, f"{name} ({species})") for name, species in rows]


class InheritanceForm(EntryForm):
    """Which stock, how many gene copies, double reduction, and who says so."""

    stock = forms.ChoiceField(choices=named(_stocks), label="Stock")
    ploidy = forms.TypedChoiceField(
        choices=[(copies, str(copies)) for copies in GENE_COPIES],
        coerce=int,
        label="Gene copies",
        help_text="Copies of a gene that a fish inherits by chance: 2 where pairs always part, 4 where any two may.",
    )
    double_reduction = Measure(
        required=True,
        initial=0,
        label="Double reduction",
        help_text=f"Chance that two copies in a gamete are of one gene: 0 to {MOST_DOUBLE_REDUCTION}; 0 with 2 copies.",
    )
    reason = forms.CharField(
        max_length=1000, widget=forms.Textarea, label="Reason", help_text="Who decided it, and on what evidence."
    )

    def entry(self) -> InheritanceSet:
        """Return what the operation takes."""
        return InheritanceSet(**self.cleaned_data)


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


class SetInheritance(EntryView):
    """Set how a stock inherits, beside what was set so far."""

    form_class = InheritanceForm
    permission = ADMINISTER
    title = "Set how a stock inherits"
    button = "Set"
    operation = set_inheritance
    warns = False
    then = "stock_list"
    template_name = "registry/catalogue/inherits.html"

    def context(self) -> dict[str, Any]:
        return {"settings": inheritance_rows()}


class SetFigure(EntryView):
    """Set a policy figure."""

    form_class = FigureForm
    permission = ADMINISTER
    title = "Set a policy figure"
    button = "Set"
    operation = set_figure
    warns = False
    then = "figure_list"
