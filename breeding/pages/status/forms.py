"""Which stock the status is asked of."""

from typing import Any

from django import forms

from registry.models import Sex, Stock
from registry.queries.status.outlook import Asked
from registry.web.entry_view import EntryForm
from registry.web.fields import Count


def _stock() -> forms.ModelChoiceField:
    stocks = Stock.objects.current().select_related("species")
    return forms.ModelChoiceField(stocks, label="Stock", to_field_name="name", empty_label=None)


class StockForm(EntryForm):
    """The stock, and whether untagged young count."""

    stock = _stock()
    batches = forms.BooleanField(label="Count untagged young in batches with their families", required=False)


class OneStockForm(EntryForm):
    """The stock alone."""

    stock = _stock()


class LivingForm(EntryForm):
    """The stock, and of which sex; untagged young cannot be listed one by one."""

    stock = _stock()
    sex = forms.ChoiceField(label="Sex", choices=[("", "any"), *Sex.choices], required=False)


class ProjectionForm(EntryForm):
    """How far, and with what, a projection goes."""

    plan = forms.ChoiceField(label="First generation by the plan", required=False)
    generations = Count(label="Generations")
    families = Count(label="Families in each generation")
    kept = Count(label="Young kept as the next parents", help_text="Half of them females, half males.")
    replicates = Count(label="Replicates", help_text="More give steadier bands and take longer.")
    seed = Count(label="Seed", help_text="The same seed gives the same result.")

    BOUNDS = {"generations": (1, 20), "families": (1, 200), "kept": (2, 400), "replicates": (10, 500)}
    USUAL = {"generations": 5, "families": 10, "kept": 60, "replicates": 100, "seed": 1}

    def __init__(self, *args: Any, plans: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **{"initial": self.USUAL | {"plan": plans[0] if plans else ""}} | kwargs)
        self.fields["plan"].choices = [*((number, f"plan {number}") for number in plans), ("", "no plan")]

    def clean(self) -> dict[str, Any]:
        """Refuse what would be no projection, or never end."""
        for name, (least, most) in self.BOUNDS.items():
            value = self.cleaned_data.get(name)
            if value is not None and not least <= value <= most:
                self.add_error(name, f"{value} is out of reach. Write a number from {least} to {most}.")
        return self.cleaned_data

    def asked(self) -> Asked:
        """Return what was chosen."""
        return Asked(**self.cleaned_data)
