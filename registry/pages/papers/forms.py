"""What is typed of a permit, and the entries made of it."""

from typing import Any

from django import forms

from registry.models import PermitAct, Specimen
from registry.operations.papers.permits import PermitCorrected, PermitTakenBack
from registry.queries.papers.codes import trade_codes
from registry.queries.papers.permits import nameable
from registry.rules.papers.acts import Allowance
from registry.rules.papers.paper import PermitGiven
from registry.web.entry.lines import add_lines, lines_of
from registry.web.entry_view import EntryForm
from registry.web.fields import Count, Day

LINE = ("act", "specimen", "species", "stock", "most")
AS_GIVEN = "As given on the permit."
ACTS = [("", "–"), *PermitAct.choices]


def _codes(name: str) -> list[tuple[str, str]]:
    return [("", "none given"), *((code, f"{code}: {meaning}") for code, meaning in trade_codes()[name].items())]


def _line_makers() -> dict[str, Any]:
    species, stocks = nameable()
    return {
        "act": lambda: forms.ChoiceField(label="What", choices=ACTS),
        "specimen": lambda: forms.ChoiceField(label="Of what", choices=Specimen.choices, required=False),
        "species": lambda: forms.ChoiceField(label="Species", choices=[("", "any"), *species]),
        "stock": lambda: forms.ChoiceField(label="Stock", choices=[("", "any"), *stocks]),
        "most": lambda: Count(label="At most", required=False, max_value=1_000_000_000),
    }


class PermitForm(EntryForm):
    """A permit as it stands on the paper."""

    number = forms.CharField(
        label="Number", max_length=60, help_text="As it stands on the paper, strokes and letters included."
    )
    issuer = forms.CharField(
        label="Given by", max_length=120, help_text="The authority or office. A role, no person's name."
    )
    valid_from = Day(label="Holds from")
    valid_until = Day(label="Last day", required=False, help_text="Empty: no end is stated.")
    places = forms.CharField(
        label="Places", required=False, max_length=1000, widget=forms.Textarea(attrs={"rows": 3}),
        help_text="One a line, as the permit names them. Empty: it names none.",
    )  # fmt: skip
    purpose = forms.ChoiceField(
        label="CITES purpose code",
        required=False,
        choices=lambda: _codes("purpose"),
        help_text=AS_GIVEN,
    )
    source = forms.ChoiceField(
        label="CITES source code", required=False, choices=lambda: _codes("source"), help_text=AS_GIVEN
    )
    notes = forms.CharField(
        label="Notes", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Conditions, reports due, who is named to act under it (roles).",
    )  # fmt: skip

    reason = forms.CharField(
        label="Why", max_length=4000, widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Such as: amended by letter 12, misread when it was entered.",
    )  # fmt: skip

    def __init__(self, *args: Any, lines: int, corrected: str = "", **options: Any) -> None:
        """Take `corrected`: the number of the permit that is being corrected, which stays; none for a new one."""
        super().__init__(*args, **options)
        self.corrected = corrected
        del self.fields["number" if corrected else "reason"]
        add_lines(self, _line_makers(), lines)

    def clean(self) -> dict[str, Any]:
        for number, values in self._lines():
            if not values["act"] and f"act_{number}" not in self.errors:
                self.add_error(f"act_{number}", "What is allowed? Choose it.")
        return self.cleaned_data

    def _lines(self) -> list[tuple[int, dict[str, Any]]]:
        """Return the lines in which anything was chosen or typed: a permit may state no number."""
        values = [
            {name: self.cleaned_data.get(field.name) for name, field in zip(LINE, line, strict=True)}
            for line in lines_of(self, LINE)
        ]
        return [(number, line) for number, line in enumerate(values) if any(line.values())]

    def entry(self) -> PermitGiven | PermitCorrected:
        """Return what the operation takes."""
        names = ("issuer", "valid_from", "valid_until", "places", "purpose", "source", "notes")
        given = PermitGiven(
            number=self.corrected or self.cleaned_data["number"],
            allowances=tuple(Allowance(**values) for _, values in self._lines()),
            **{name: self.cleaned_data[name] for name in names},
        )
        return PermitCorrected(given=given, reason=self.cleaned_data["reason"]) if self.corrected else given


class TakeBackForm(EntryForm):
    """Why a permit is taken back."""

    reason = forms.CharField(
        label="Why", max_length=4000, widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Only a permit entered in error is taken back; one that ended stays.",
    )  # fmt: skip

    def __init__(self, *args: Any, number: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.number = number

    def entry(self) -> PermitTakenBack:
        """Return what the operation takes."""
        return PermitTakenBack(number=self.number, reason=self.cleaned_data["reason"])


def line_values(given: PermitGiven) -> dict[str, Any]:
    """Return a permit's lines as the form holds them."""
    lines = enumerate(given.allowances)
    return {f"{name}_{number}": getattr(line, name) for number, line in lines for name in LINE}
