"""Which stock the status is asked of."""

import re
from typing import Any

from django import forms

from registry.models import Origin, Sex, Stock
from registry.queries.status.outlook import Asked
from registry.queries.status.selection import Choice, fish_named
from registry.rules.reading import shown
from registry.web.entry_view import EntryForm
from registry.web.fields import Count

MOST_NAMED = 5
FIRST_YEAR, LAST_YEAR = 1900, 2200


def _stock() -> forms.ModelChoiceField:
    stocks = Stock.objects.current().select_related("species")
    field = forms.ModelChoiceField(stocks, label="Stock", to_field_name="name", empty_label=None)
    field.error_messages["invalid_choice"] = "“%(value)s” is no stock of the register. Choose one of the list."
    return field


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


class SelectionForm(EntryForm):
    """Which fish of a stock are looked at together."""

    stock = _stock()
    since = Count(label="Hatched from", required=False, help_text="A year, such as 2012.")
    until = Count(label="Hatched until", required=False, help_text="A year, such as 2012.")
    sex = forms.ChoiceField(label="Sex", choices=[("", "any"), *Sex.choices], required=False)
    origin = forms.ChoiceField(label="Origin", choices=[("", "any"), *Origin.choices], required=False)
    gone = forms.BooleanField(label="Also fish that died, were released or left", required=False)
    fish = forms.CharField(
        label="Only these fish",
        required=False,
        max_length=5000,
        widget=forms.Textarea(attrs={"rows": 2, "spellcheck": "false"}),
        help_text="Register numbers or tags, with spaces or commas between; empty for all that fit.",
    )

    def clean(self) -> dict[str, Any]:
        """Refuse years in the wrong order and words that name no fish."""
        since, until = (self._year(name) for name in ("since", "until"))
        if since and until and since > until:
            self.add_error("until", f"{until} is before {since}. Write the later year here.")
        words = re.split(r"[\s,;]+", self.cleaned_data.get("fish", "").strip())
        named, unknown = fish_named(word for word in words if word)
        if unknown:
            more = f" and {len(unknown) - MOST_NAMED} more" * (len(unknown) > MOST_NAMED)
            listed = ", ".join(f"“{shown(word)}”" for word in unknown[:MOST_NAMED]) + more
            self.add_error("fish", f"No fish has the number or bears the tag {listed}. Correct or remove it.")
        self.cleaned_data["keys"] = named if any(words) else None
        return self.cleaned_data

    def _year(self, name: str) -> int | None:
        year = self.cleaned_data.get(name)
        if year is not None and not FIRST_YEAR <= year <= LAST_YEAR:
            self.add_error(name, f"{year} is no year of hatching. Write it in four figures, such as 2012.")
            return None
        return year

    def choice(self) -> Choice:
        """Return what was chosen."""
        told = self.cleaned_data
        return Choice(
            stock=told["stock"],
            since=told["since"],
            until=told["until"],
            sex=told["sex"],
            origin=told["origin"],
            gone_too=told["gone"],
            fish=told["keys"],
        )


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
        told = "“%(value)s” is no plan of this stock that holds pairs. Choose one of the list, or none."
        self.fields["plan"].error_messages["invalid_choice"] = told
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
