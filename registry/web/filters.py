"""The base filter set, and the filters that many lists need."""

from typing import Any

import django_filters
from django import forms
from django.db.models import QuerySet
from django.utils.html import format_html
from django.utils.safestring import SafeString

from registry.models import Species, Stock


class RegisterFilters(django_filters.FilterSet):
    """Filters of a list. Labels are the column's own words; nothing is filtered until something is filled in."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.form.fields.values():
            field.widget.attrs.setdefault("autocomplete", "off")

    def in_words(self) -> list[str]:
        """Return what is filtered, for the page's head and the printed list: "Stock: Upper Isendre"."""
        if not self.form.is_bound or not self.form.is_valid():
            return []
        found = []
        for name, value in self.form.cleaned_data.items():
            words = _words(self.form.fields[name], value)
            if words:
                found.append(f"{self.form[name].label}: {words}")
        return found


class DayRange(django_filters.widgets.DateRangeWidget):
    """Two days with the word between them, each named for whoever does not see the other."""

    def __init__(self) -> None:
        super().__init__(attrs={"type": "date"})
        for widget, name in zip(self.widgets, ("from", "to"), strict=True):
            widget.attrs |= {"aria-label": name}

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        context = self.get_context(name, value, attrs)
        parts = [
            self._render(one["template_name"], {"widget": one}, renderer) for one in context["widget"]["subwidgets"]
        ]
        return format_html("{} <span>to</span> {}", *parts)


class DateRangeFilter(django_filters.DateFromToRangeFilter):
    """From a day to a day, both included; either may be left empty."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"widget": DayRange} | options)


class TextFilter(django_filters.CharFilter):
    """Part of a text, capitals and small letters alike; a scan belongs into the field at the top of the page."""

    def __init__(self, *args: Any, **options: Any) -> None:
        options.setdefault("lookup_expr", "icontains")
        super().__init__(*args, **options)


class SpeciesFilter(django_filters.ModelChoiceFilter):
    """One species of the catalogue."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"label": "Species", "queryset": _species, "empty_label": "any"} | options)


class StockFilter(django_filters.ModelChoiceFilter):
    """One stock."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"label": "Stock", "queryset": _stocks, "empty_label": "any"} | options)


class ChoiceFilter(django_filters.ChoiceFilter):
    """One of a fixed list."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"empty_label": "any"} | options)


def _species(_request: Any) -> QuerySet:
    return Species.objects.current()


def _stocks(_request: Any) -> QuerySet:
    return Stock.objects.current()


def _words(field: forms.Field, value: Any) -> str:
    if value in (None, "", []):
        return ""
    if isinstance(value, slice):
        ends = [("from", value.start), ("to", value.stop)]
        return " ".join(f"{word} {end:%Y-%m-%d}" for word, end in ends if end)
    choices = dict(field.choices) if type(field) is django_filters.fields.ChoiceField else {}
    return str(choices.get(value, value))
