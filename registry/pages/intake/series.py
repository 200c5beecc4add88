"""A series of numbers to print on tubes before anything is taken."""

from django import forms

from registry.web.fields import Count


class SeriesForm(forms.Form):
    """The first number, and how many."""

    use_required_attribute = False

    first = forms.CharField(max_length=40, label="First number", help_text="Such as T-26-001: the next ones count on.")
    count = Count(min_value=1, max_value=72, initial=24, label="How many", help_text="Up to 72 at a time.")
