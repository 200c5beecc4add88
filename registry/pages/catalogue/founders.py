"""How founders of a stock are related, as markers have shown: pasted as a table of pairs."""

import re
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms

from registry.models import Stock
from registry.operations.catalogue import relate_founders
from registry.permissions import RELATE_FOUNDERS
from registry.queries.catalogue import inheritance_set_for
from registry.queries.catalogue.founders import founder_pairs, founder_sets, related_by
from registry.rules.inheritance import FoundersRelated, KinshipGiven
from registry.rules.reading import shown
from registry.web.entry_view import EntryForm, EntryView
from registry.web.notations import named

CELLS = 3
PLACES = 8
MOST_TOLD = 10


def _stocks() -> list[tuple[str, str]]:
    rows = Stock.objects.current().values_list("name", "species__scientific_name")
    return [(name, f"{name} ({species})") for name, species in rows]


class FoundersForm(EntryForm):
    """Which stock, its pairs of founders, and who says so."""

    stock = forms.ChoiceField(choices=named(_stocks), label="Stock")
    pairs = forms.CharField(
        required=False,
        max_length=500_000,
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false", "class": "code"}),
        label="Kinship of pairs",
        help_text="A line for each pair, such as F1, F2, 0.125 (half sibs with two gene copies), or three columns of a "
        "spreadsheet. A pair that is not named has 0, a fish with itself what its gene copies say. Left empty, all "
        "founders are unrelated again.",
    )
    source = forms.CharField(
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        label="Source",
        help_text="Who estimated it, by how many loci and which method. Few loci mislead more than they help.",
    )

    def clean_pairs(self) -> tuple[KinshipGiven, ...]:
        """Read the lines; say of each that cannot be read why not."""
        found, wrong = [], []
        for number, line in enumerate(self.cleaned_data["pairs"].splitlines(), start=1):
            cells = _cells(line)
            if not any(cells) or (number == 1 and cells[-1].casefold() == "kinship"):
                continue
            kinship = _number(cells[-1])
            if len(cells) != CELLS:
                wrong.append(f"Line {number}, “{shown(line)}”, has {len(cells)} parts. Write two fish and a kinship.")
            elif kinship is None:
                wrong.append(f"Line {number}: “{shown(cells[-1])}” is no kinship. Write figures, such as 0.125.")
            else:
                found.append(KinshipGiven(one=cells[0], other=cells[1], kinship=kinship))
        if wrong:
            more = [f"{len(wrong) - MOST_TOLD} more lines cannot be read."] if len(wrong) > MOST_TOLD else []
            raise forms.ValidationError([*wrong[:MOST_TOLD], *more])
        return tuple(found)

    def entry(self) -> FoundersRelated:
        """Return what the operation takes."""
        return FoundersRelated(**self.cleaned_data)


def _cells(line: str) -> list[str]:
    for mark in ("\t", ";", ","):
        if mark in line:
            return [cell.strip() for cell in line.split(mark)]
    return re.split(r"\s+", line.strip())


def _number(text: str) -> Decimal | None:
    try:
        value = Decimal(text.replace(",", "."))
        return round(value, PLACES) if value.is_finite() and abs(value) < CELLS else None
    except InvalidOperation:
        return None


class RelateFounders(EntryView):
    """Enter how founders are related, beside what is in force and was before."""

    form_class = FoundersForm
    permission = RELATE_FOUNDERS
    title = "Say how founders are related"
    operation = relate_founders
    then = "founders_related"
    template_name = "registry/catalogue/founders.html"

    def initial(self) -> dict[str, Any]:
        """Return the kinships in force of the stock that the address names, to be changed."""
        asked = super().initial()
        stock = Stock.objects.current().filter(name=asked.get("stock", "")).first()
        if stock is None:
            return asked
        return asked | {"pairs": "\n".join(f"{one}, {other}, {value}" for one, other, value in _in_words(stock))}

    def context(self) -> dict[str, Any]:
        sets = list(founder_sets())
        return {"sets": [(one, _change(one.stock) if one.withdrawn is None else None) for one in sets]}


def _in_words(stock: Stock) -> list[tuple[str, str, str]]:
    sets = founder_sets().filter(stock=stock, withdrawn__isnull=True)
    rows = [row for one in sets for row in one.pairs.current().select_related("one", "other").order_by("pk")]
    return [(row.one.number, row.other.number, f"{row.kinship.normalize():f}") for row in rows]


def _change(stock: Stock) -> float | None:
    given, inherits = founder_pairs(stock), inheritance_set_for(stock)
    return related_by(given, inherits.alone, inherits.ploidy).change if given else None
