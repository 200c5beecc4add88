"""What the geneticist asks of a plan: terms, limits, a word on a fish or a pair. The page puts in the plan's number."""

from decimal import Decimal
from typing import Any

from django import forms

from registry.rules.crossing.limits import LimitRestored, LimitSet, PairLimit
from registry.rules.crossing.wishes import (
    CHOSEN,
    CLEARED,
    IN,
    LIMITED,
    OUT,
    SCHEMES,
    FishStand,
    PairStand,
    TermsSet,
)
from registry.web.entry_view import EntryForm
from registry.web.fields import Count, FishNumber, Measure

LIFT, SET = "lift", "set"
REASON = "In a few words, for whoever signs the plan or reads it later."


class TermsForm(EntryForm):
    """How many crosses, by which scheme, weighed how."""

    crosses = Count(label="Crosses wanted")
    scheme = forms.ChoiceField(
        label="Scheme", choices=[(one.key, f"{one.name}: {one.meaning}") for one in SCHEMES.values()]
    )
    mates = Count(label="Mates a fish", required=False, help_text="Only where the scheme says “so many”.")
    price = Measure(
        label="Price on inbreeding",
        required=True,
        help_text="0: diversity alone counts, and of plans that keep as much the one of least related pairs is taken. "
        "1: mean kinship of the pairs counts as much as group coancestry. The trade-off curve shows what a price buys.",
    )
    count_living = forms.BooleanField(label="Judge the young together with the living stock", required=False)
    weight_of_young = Measure(
        label="Share of the young in that group",
        help_text="Over 0 up to 1. Left empty: by the number of young expected.",
    )
    count_made = forms.BooleanField(label="Count families already made this season", required=False)

    def entry(self) -> TermsSet:
        """Return what the operation takes."""
        return TermsSet(plan="", **self.cleaned_data)


class LimitForm(EntryForm):
    """A limit set to another figure, or lifted, with the reason."""

    how = forms.ChoiceField(
        label="How",
        choices=[(SET, "Set it to another figure"), (LIFT, "Lift it for this plan")],
        widget=forms.RadioSelect,
    )
    value = Measure(label="Figure")
    reason = forms.CharField(label="Reason", max_length=400, help_text=REASON)

    def __init__(self, *args: Any, limit: PairLimit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.limit = limit
        self.fields["value"].unit = limit.unit
        if limit.switch:
            del self.fields["how"], self.fields["value"]

    def clean(self) -> dict[str, Any]:
        """Ask for a figure where one is to be set."""
        missing = self.cleaned_data.get("how") == SET and self.cleaned_data.get("value") is None
        if missing and "value" not in self.errors:
            self.add_error("value", "The figure is missing. Fill it in, or lift the limit.")
        return self.cleaned_data

    def entry(self) -> LimitSet:
        """Return what the operation takes."""
        value: Decimal | None = self.cleaned_data["value"] if self.cleaned_data.get("how") == SET else None
        return LimitSet(plan="", key=self.limit.key, value=value, reason=self.cleaned_data["reason"])


class RestoreForm(EntryForm):
    """Nothing but a yes."""

    def __init__(self, *args: Any, limit: PairLimit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.limit = limit

    def entry(self) -> LimitRestored:
        """Return what the operation takes."""
        return LimitRestored(plan="", key=self.limit.key)


class FishStandForm(EntryForm):
    """The geneticist's word on a fish."""

    STANDS = (
        (OUT, "Leave it out of this plan"),
        (LIMITED, "Use it in so many crosses at most"),
        (IN, "Let it in, though it was not found ripe yet"),
        (CHOSEN, "Choose it: it must stand in the plan"),
        (CLEARED, "Nothing special: clear what was said before"),
    )
    fish = FishNumber(label="Fish")
    stand = forms.ChoiceField(label="What about it", choices=STANDS, required=False, widget=forms.RadioSelect)
    most = Count(label="Crosses at most", required=False, help_text="Only with “so many crosses at most”.")
    reason = forms.CharField(label="Reason", max_length=400, required=False, help_text=REASON)

    def entry(self) -> FishStand:
        """Return what the operation takes."""
        return FishStand(plan="", **self.cleaned_data)


class PairStandForm(EntryForm):
    """A pair locked into the plan, forbidden in it, or neither."""

    dam = FishNumber(label="Female")
    sire = FishNumber(label="Male")
    stand = forms.CharField(required=False, widget=forms.HiddenInput)
    reason = forms.CharField(label="Reason", max_length=400, required=False, help_text=REASON)

    def entry(self) -> PairStand:
        """Return what the operation takes."""
        return PairStand(plan="", **self.cleaned_data)
