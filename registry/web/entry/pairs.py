"""Possible parents, typed as rows of dam, sire and probability."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.template.loader import render_to_string

from registry.rules.known import Pair
from registry.rules.reading import shown
from registry.web.fields import FishNumber

LEAST_ROWS, SPARE_ROWS = 3, 2
Row = tuple[str, str, str]


class PairsWidget(forms.Widget):
    """Rows of three inputs; a page that comes back has two empty rows more."""

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs)
        self.least = LEAST_ROWS

    def value_from_datadict(self, data: Any, _files: Any, name: str) -> list[Row]:
        """Return the rows as typed."""
        listed = data.getlist if hasattr(data, "getlist") else lambda key: data.get(key, [])
        columns = [listed(f"{name}_{part}") for part in ("dam", "sire", "probability")]
        return [tuple(part.strip() for part in row) for row in zip(*columns, strict=False)]  # type: ignore[misc]

    def id_for_label(self, _id: str) -> str:
        """Return no id: each input of the rows has a label of its own."""
        return ""

    def render(self, name: str, value: Any, attrs: Any = None, **_: Any) -> str:
        """Return the rows, those filled in first."""
        rows = [row for row in value or () if any(row)]
        rows += [("", "", "")] * max(self.least - len(rows), SPARE_ROWS)
        shown_rows = [{"n": n, "dam": row[0], "sire": row[1], "probability": row[2]} for n, row in enumerate(rows, 1)]
        return render_to_string("registry/web/pairs.html", {"name": name, "rows": shown_rows, "attrs": attrs})


class Pairs(forms.Field):
    """Possible pairs of parents; cleans to a tuple of Pair, empty for a founder.

    One pair needs no probability: it is 1. Several need one each; that they sum to 1 is the rules' business.
    """

    widget = PairsWidget

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"required": False, "label": "Possible parents"} | options)

    def prepare_value(self, value: Any) -> Any:
        if value and isinstance(value[0], Pair):
            return [(pair.dam or "", pair.sire or "", f"{pair.probability.normalize():f}") for pair in value]
        return value

    def clean(self, value: Any) -> tuple[Pair, ...]:
        rows = [row for row in value or () if any(row)]
        errors: list[forms.ValidationError] = []
        pairs = [self._pair(row, len(rows), errors) for row in rows]
        if errors:
            raise forms.ValidationError(errors)
        return tuple(pairs)

    def _pair(self, row: Row, rows: int, errors: list[forms.ValidationError]) -> Pair:
        parents: list[str | None] = []
        for text in row[:2]:
            try:
                parents.append(FishNumber(required=False).clean(text) or None)
            except forms.ValidationError as error:
                errors.append(error)
                parents.append(None)
        probability = _probability(row[2]) if row[2] else (Decimal(1) if rows == 1 else None)
        if probability is None:
            which = f"{row[0] or 'unknown'} × {row[1] or 'unknown'}"
            said = f"“{shown(row[2])}” is no probability" if row[2] else "its probability is missing"
            errors.append(forms.ValidationError(f"{which}: {said}. Write it as 0.25; all of them sum to 1."))
        return Pair(parents[0], parents[1], probability or Decimal(1))


def _probability(text: str) -> Decimal | None:
    try:
        value = Decimal(text.replace(",", "."))
    except InvalidOperation:
        return None
    return value if value.is_finite() and 0 < value <= 1 and abs(value.as_tuple().exponent) <= 12 else None
