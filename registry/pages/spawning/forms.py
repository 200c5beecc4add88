"""The parts of a night's sheet: the night itself, one cross, one male of a cross; and a hormone given."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone

from registry.models import Stock
from registry.operations.crossing.spawning import HormoneGiven
from registry.operations.shared.entries import CrossMade, SireShare
from registry.pages.spawning.fields import FIRST_YEAR, ClockTime
from registry.rules.crossing.spawning import equal_shares
from registry.rules.days import spoken
from registry.web.entry_view import EntryForm
from registry.web.fields import Count, Day, FishNumber, Measure
from registry.web.notations import Mass, Percent

HUNDRED, FAR_TOO_MUCH = Decimal(100), Decimal(10) ** 9
TENTH, HUNDREDTH = Decimal("0.1"), Decimal("0.01")
KEPT_PLACES = {"egg_mass_g": TENTH, "eggs_per_g": TENTH, "fertilisation_percent": HUNDREDTH}
NITROGEN = (
    "Caution: liquid nitrogen burns and displaces air. Ventilate, wear a face shield and loose gloves, do not work "
    "alone; straws may burst on thawing. Follow the rules of the house and local law."
)


def rounded(value: Decimal | None, place: Decimal) -> Decimal | None:
    """Return a figure with the decimals that the register keeps; one too long to round is left to the rules."""
    return value if value is None or abs(value) >= FAR_TOO_MUCH else value.quantize(place)


def decimal() -> forms.TextInput:
    """Return a field for a number, for which a tablet shows figures."""
    return forms.TextInput(attrs={"inputmode": "decimal"})


class NightForm(EntryForm):
    """What holds for the whole night."""

    spawned_on = Day(label="Night that began on")
    stock = forms.ModelChoiceField(
        Stock.objects.none(),
        label="Stock",
        required=False,
        empty_label="that of the female",
    )
    water_c = Measure(label="Water temperature")
    notes = forms.CharField(label="Notes", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["stock"].queryset = Stock.objects.current()

    def clean_spawned_on(self) -> date:
        """Refuse days that no hatchery can have seen yet, or has kept a book of."""
        day: date = self.cleaned_data["spawned_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(f"{spoken(day)} lies in the future. Correct the day.", code="future_date")
        if day.year < FIRST_YEAR:
            raise forms.ValidationError(f"{spoken(day)} is too long ago. Correct the year.", code="past_date")
        return day

    def clean_water_c(self) -> Decimal | None:
        """Round to the tenth that a thermometer shows."""
        return rounded(self.cleaned_data["water_c"], TENTH)


class CrossForm(EntryForm):
    """One female's eggs, or a portion of them; the males stand beside it."""

    dam = FishNumber(label="Female")
    family = forms.CharField(label="Family", max_length=40, required=False)
    one_male_only = forms.BooleanField(
        label="Only one of these males, not known which",
        required=False,
        help_text="Then all the young have the same sire. Leave it empty for pooled milt.",
    )
    portion = forms.CharField(label="Portion", max_length=10, required=False)
    egg_mass_g = Mass(label="Egg mass", widget=decimal())
    eggs_per_g = Measure(label="Eggs per gram")
    fertilisation_percent = Percent(label="Fertilised", widget=decimal())
    made_at = ClockTime(
        label="Clock time of fertilisation",
        help_text="23:40. Before 08:00 means the morning after.",
    )
    off_plan_reason = forms.CharField(
        label="Why it is off the plan",
        max_length=120,
        required=False,
        help_text="If the signed plan lacks it.",
    )
    notes = forms.CharField(label="Notes on this cross", max_length=4000, required=False)

    def entry(self, night: date, sires: tuple[SireShare, ...]) -> CrossMade:
        """Return the cross as the operation takes it; figures are rounded to what the register keeps."""
        values = {name: self.cleaned_data[name] for name in self.fields if name != "made_at"}
        for name, place in KEPT_PLACES.items():
            values[name] = rounded(values[name], place)
        clock = self.cleaned_data["made_at"]
        return CrossMade(**values, sires=sires, made_at=clock.in_night(night) if clock else None)


class MaleForm(EntryForm):
    """One male of a cross."""

    sire = FishNumber(label="Male")
    share_percent = Percent(label="Share of the milt", widget=decimal(), help_text="Leave empty for equal shares.")
    motility_percent = Percent(label="Motility", widget=decimal())
    milt_lot = forms.CharField(label="Milt lot", max_length=40, required=False)
    doses = Count(label="Doses taken", required=False)
    frozen_milt = forms.BooleanField(label="Frozen milt", required=False, help_text=NITROGEN)

    def entry(self, share: Decimal) -> SireShare:
        """Return the male with his share, from 0 to 1."""
        values = {name: self.cleaned_data[name] for name in self.fields if name != "share_percent"}
        values["motility_percent"] = rounded(values["motility_percent"], HUNDREDTH)
        return SireShare(**values, share=share)


class HormoneForm(EntryForm):
    """A hormone given, word for word as prescribed."""

    fish = FishNumber(label="Fish")
    given_on = Day(label="Day")
    given_at = ClockTime(label="Clock time", required=True, help_text="23:40; here the day is the one above.")
    agent = forms.CharField(label="Product", max_length=80, help_text="As its label names it.")
    product_batch = forms.CharField(label="Batch of the product", max_length=40, required=False)
    dose = forms.CharField(label="Dose, as prescribed", max_length=80, help_text="With its unit, word for word.")
    prescriber = forms.CharField(
        label="Prescribed by", max_length=80, help_text="The veterinarian, by role or licence number."
    )

    def __init__(self, *args: Any, spawning: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.spawning = spawning

    def entry(self) -> HormoneGiven:
        """Return what the operation takes."""
        values = {name: self.cleaned_data[name] for name in self.fields if not name.startswith("given_")}
        day, clock = self.cleaned_data["given_on"], self.cleaned_data["given_at"]
        moment = timezone.datetime.combine(clock.day or day, clock.at)
        return HormoneGiven(spawning=self.spawning, given_at=timezone.make_aware(moment), **values)


def shares_of(males: list[MaleForm]) -> list[Decimal]:
    """Return each male's share, equal where none is typed; mark them where only some are, or the sum is not 100 %."""
    typed = [male.cleaned_data.get("share_percent") for male in males]
    if all(share is None for share in typed):
        return equal_shares([male.cleaned_data["sire"] for male in males])
    for male, share in zip(males, typed, strict=True):
        if share is None:
            male.add_error("share_percent", "Write the share of every male of this cross, or of none.")
        elif share == 0:
            male.add_error("share_percent", "A male with no share gave no milt. Leave him out, or write his share.")
    total = sum((share for share in typed if share is not None), Decimal(0))
    if None not in typed and total != HUNDRED:
        males[-1].add_error("share_percent", f"The shares of the males sum to {total} %, not 100 %. Correct them.")
    return [(share or Decimal(0)) / HUNDRED for share in typed]
