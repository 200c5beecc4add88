"""Two numbers that prove to be one fish: joined by a manager with evidence, and parted again."""

from typing import Any

from django import forms
from django.http import Http404
from django.utils import timezone

from registry.models import Evidence, FishDetails, SameFish
from registry.operations.identity.joining import join_numbers
from registry.operations.identity.parting import joined, moved_by, part_numbers
from registry.operations.shared.entries import Joining, Parting
from registry.permissions import CORRECT
from registry.queries.identity.numbers import entered
from registry.rules.identity.joining import (
    FACTS,
    KEPT,
    OTHER,
    QUARANTINE,
    STAYS,
    Entered,
    differing,
    held_in,
    overlapping,
)
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Day, FishNumber
from registry.web.links import address
from registry.web.notations import some

CHOSEN = "choose_"
MOST = 50


class JoiningForm(EntryForm):
    """Which numbers, on what evidence; for each thing that differs, whose holds."""

    kept = FishNumber(label="Number that is kept", help_text="As a rule the older one. It stands for the fish.")
    other = FishNumber(label="Number that proves to be the same fish", help_text="It stays readable and leads to it.")
    evidence = forms.ChoiceField(choices=some(*Evidence.choices), label="Proved by")
    probability = forms.DecimalField(
        required=False, label="If asserted, how likely", help_text="A share such as 0.8; only without evidence.",
        widget=forms.TextInput(attrs={"inputmode": "decimal"}), max_digits=4, decimal_places=3,
    )  # fmt: skip
    proved_on = Day(label="Proved on", initial=timezone.localdate)
    reason = forms.CharField(max_length=1000, widget=forms.Textarea(attrs={"rows": 2}), label="What proves it")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        two = self._two()
        if two:
            for name, label, offers in questions(*two):
                self.fields[CHOSEN + name] = forms.ChoiceField(
                    choices=offers, required=False, label=label, widget=forms.RadioSelect
                )

    def _two(self) -> tuple[Entered, Entered] | None:
        """Return both entries once their numbers are told, in the form or in the address."""
        told = [self.data.get(name) or self.initial.get(name) or "" for name in (KEPT, OTHER)]
        rows = [_details(str(number)) for number in told]
        return (entered(rows[0]), entered(rows[1])) if rows[0] and rows[1] and rows[0] != rows[1] else None

    def entry(self) -> Joining:
        """Return what the operation takes."""
        values = {name: value for name, value in self.cleaned_data.items() if not name.startswith(CHOSEN)}
        chosen = {
            name.removeprefix(CHOSEN): value for name, value in self.cleaned_data.items() if name.startswith(CHOSEN)
        }
        return Joining(**values, choices=chosen)


def _details(number: str) -> FishDetails | None:
    try:
        meant = FishNumber().clean(number)
    except forms.ValidationError:
        return None
    related = ("fish", "species", "stock", "family")
    return FishDetails.objects.current().filter(fish__number=meant).select_related(*related).first()


def questions(kept: Entered, other: Entered) -> list[tuple[str, str, list[tuple[str, str]]]]:
    """Return what must be chosen: the name, the label, and what each of the two says."""
    one, two = kept.fish.number, other.fish.number
    found = [
        (
            name,
            f"Which {FACTS[name]} holds",
            [(KEPT, f"{one}: {kept.facts[name]}"), (OTHER, f"{two}: {other.facts[name]}")],
        )
        for name in differing(kept, other)
    ]
    both = overlapping(kept.stays, other.stays)
    if both:
        mine, theirs = both[-1]
        offers = [(KEPT, f"{one}: {mine.place}"), (OTHER, f"{two}: {theirs.place}")]
        found.append((STAYS, "Whose place it really was in, where both were entered", offers))
    if kept.quarantine and other.quarantine:
        offers = [(KEPT, held_in(kept)), (OTHER, held_in(other))]
        found.append((QUARANTINE, "Which quarantine goes on until the veterinarian ends it", offers))
    return found


class Join(EntryView):
    """Join two numbers."""

    form_class = JoiningForm
    operation = join_numbers
    permission = CORRECT
    title = "Two numbers, one fish"
    button = "Join them"
    template_name = "registry/fish/identity/join.html"
    form_names = {name: CHOSEN + name for name in (*FACTS, STAYS, QUARANTINE)}

    def initial(self) -> dict[str, Any]:
        return {name: value for name, value in self.request.GET.items() if name in self.form_class.base_fields}

    def context(self) -> dict[str, Any]:
        return {"joined": SameFish.objects.current().select_related("kept", "other").order_by("-pk")[:MOST]}

    def after(self, record: SameFish) -> str:
        return address("fish", record.kept.number)


class PartingForm(EntryForm):
    """Why they are two fish."""

    reason = forms.CharField(max_length=1000, widget=forms.Textarea(attrs={"rows": 2}), label="Why they are two fish")

    def entry(self) -> dict[str, Any]:
        """Return what is typed."""
        return self.cleaned_data


class Part(EntryView):
    """Part two numbers that were joined."""

    form_class = PartingForm
    operation = part_numbers
    permission = CORRECT
    title = "Two fish after all"
    button = "Part them"
    template_name = "registry/fish/identity/part.html"

    def same(self) -> SameFish:
        """Return how the two were joined."""
        found = joined(self.kwargs["number"])
        if found is None:
            raise Http404(f"{self.kwargs['number']} is not joined to another number.")
        return found

    def context(self) -> dict[str, Any]:
        same = self.same()
        moved = moved_by(same)
        return {
            "same": same,
            "back": sum(1 for _, now in moved if now is not None),
            "title": f"Part {same.other} from {same.kept}",
        }

    def write(self, entry: Any) -> Any:
        return super().write(Parting(other=self.same().other.number, reason=entry["reason"]))

    def after(self, record: SameFish) -> str:
        return address("fish", record.other.number)
