"""Which stock the status is asked of."""

from django import forms

from registry.models import Sex, Stock
from registry.web.entry_view import EntryForm


def _stock() -> forms.ModelChoiceField:
    stocks = Stock.objects.current().select_related("species")
    return forms.ModelChoiceField(stocks, label="Stock", to_field_name="name", empty_label=None)


class StockForm(EntryForm):
    """The stock, and whether untagged young count."""

    stock = _stock()
    batches = forms.BooleanField(label="Count untagged young in batches with their families", required=False)


class LivingForm(EntryForm):
    """The stock, and of which sex; untagged young cannot be listed one by one."""

    stock = _stock()
    sex = forms.ChoiceField(label="Sex", choices=[("", "any"), *Sex.choices], required=False)
