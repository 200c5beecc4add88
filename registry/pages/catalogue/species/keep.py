"""A determination kept on a fish, taken over as its species, or taken back."""

from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from registry.models import Confidence, Determination, FishDetails, SpeciesFit
from registry.operations.identity.determination import (
    TakenOver,
    determine,
    take_determination_back,
    take_over,
    taken_over,
)
from registry.pages.catalogue.species.determine import answer
from registry.permissions import CORRECT, ENTER, READ_JOURNAL, may
from registry.queries.catalogue.determinations import determination_of, looks_of_row
from registry.queries.catalogue.species import species_choices
from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.determination import Determined, TakenBack
from registry.web.entry.characters import looked_at, seen_in, unseen_fields
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Day, FishNumber
from registry.web.links import address
from registry.web.notations import named
from registry.web.people import actor

WHY = {"max_length": 4000, "widget": forms.Textarea, "label": "Why"}


class KeepForm(EntryForm):
    """Which fish, and what is concluded; what was seen comes along unseen, as it was chosen on the page before."""

    fish = FishNumber(label="Fish", help_text="Scan it, or type its register number.")
    determined_on = Day(label="Looked at on", initial=timezone.localdate)
    species = forms.ChoiceField(
        required=False, choices=named(species_choices), label="Concluded", help_text="Leave it open when in doubt."
    )
    hybrid = forms.BooleanField(required=False, label="Held to be a hybrid")
    confidence = forms.ChoiceField(
        choices=Confidence.choices, label="Known by", help_text="Genetic only with a laboratory's report."
    )
    evidence = forms.CharField(
        required=False, max_length=120, label="Evidence", help_text="Number of the report, of photographs."
    )
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea, label="Notes")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields |= unseen_fields()

    def entry(self) -> Determined:
        """Return what the operation takes."""
        told = self.cleaned_data
        names = ("fish", "determined_on", "species", "hybrid", "confidence", "evidence", "notes")
        return seen_in(told, **{name: told[name] for name in names})


class ReasonForm(EntryForm):
    """Why."""

    reason = forms.CharField(**WHY, help_text="It stands in the journal beside the change.")

    def entry(self) -> str:
        """Return the reason."""
        return str(self.cleaned_data["reason"])


class Keep(EntryView):
    """Keep a determination."""

    form_class = KeepForm
    operation = determine
    permission = ENTER
    title = "Keep a determination"
    button = "Keep"
    template_name = "registry/catalogue/species/keep.html"

    def initial(self) -> dict[str, Any]:
        asked = self.request.GET
        names = [name for name in KeepForm().fields if name in asked and name != "signs"]
        return {name: asked[name] for name in names} | {"signs": asked.getlist("signs")}

    def context(self) -> dict[str, Any]:
        """Return what was seen and what fits it, from the address or from what was sent."""
        sent = self.request.POST or self.request.GET
        form = KeepForm(sent)
        form.is_valid()
        entry = seen_in(getattr(form, "cleaned_data", {}))
        again = sent.copy()
        for name in ("csrfmiddlewaretoken", "determined_on", "species", "hybrid", "confidence", "evidence", "notes"):
            again.pop(name, None)
        again_at = f"{address('species_determine')}?{again.urlencode()}"
        return {"again": again_at, "seen": looked_at(entry.looks)} | (answer(entry) if entry.looks else {})

    def after(self, record: Determination) -> str:
        return address("determination", record.pk)


def determination(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one determination: what was seen, what fitted, what was concluded, and by whom."""
    row = determination_of(pk)
    if row is None:
        raise Http404
    who = actor(request)
    shown = {
        "title": f"Determination of fish {row.fish.number}",
        "row": row,
        "seen": looked_at(looks_of_row(row)),
        "fits": [_fitted(fit) for fit in row.fits.all()],
        "flags": [line for line in row.flags.splitlines() if line],
        "changes": bool(changes_by(row)),
        "corrects": may(who, CORRECT),
        "enters": may(who, ENTER),
        "reads_journal": may(who, READ_JOURNAL),
    }
    return render(request, "registry/catalogue/species/determination.html", shown)


def _fitted(fit: SpeciesFit) -> dict[str, Any]:
    names = [BY_KEY[key].name.lower() for key in fit.disagreeing.split(",") if key in BY_KEY]
    return {"species": fit.species, "log_score": f"{fit.log_score:.2f}".replace("-", "−"), "words": ", ".join(names)}


def changes_by(row: Determination) -> dict[str, Any]:
    """Return what taking a determination over would change in what is on record of the fish."""
    if row.withdrawn_id:
        return {}
    details = FishDetails.objects.current().select_related("stock").filter(fish=row.fish_id).first()
    return taken_over(row, details) if details else {}


class TakeOver(EntryView):
    """Make the conclusion the fish's species."""

    form_class = ReasonForm
    operation = take_over
    permission = CORRECT
    title = "Take over as the fish's species"
    button = "Take over"
    template_name = "registry/catalogue/species/take_over.html"

    def row(self) -> Determination:
        """Return the determination."""
        return get_object_or_404(
            Determination.objects.current().select_related("fish", "species"), pk=self.kwargs["pk"]
        )

    def initial(self) -> dict[str, Any]:
        row = self.row()
        return {"reason": f"Determination of {row.determined_on:%Y-%m-%d}, {row.get_confidence_display().lower()}."}

    def context(self) -> dict[str, Any]:
        row = self.row()
        details = FishDetails.objects.current().select_related("species", "stock").get(fish=row.fish_id)
        changes = taken_over(row, details)
        return {"row": row, "details": details, "leaves_stock": "stock_id" in changes, "changes": changes}

    def write(self, entry: Any) -> Any:
        return super().write(TakenOver(pk=self.kwargs["pk"], reason=entry))

    def after(self, record: FishDetails) -> str:
        return address("fish", record.fish.number)


class TakeBack(EntryView):
    """Take a determination back that was a mistake."""

    form_class = ReasonForm
    operation = take_determination_back
    permission = CORRECT
    title = "Take a determination back"
    button = "Take back"
    warns = False

    def get(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        get_object_or_404(Determination.objects.current(), pk=self.kwargs["pk"])
        return super().get(request, *args, **kwargs)

    def write(self, entry: Any) -> Any:
        return super().write(TakenBack(pk=self.kwargs["pk"], reason=entry))

    def after(self, record: Determination) -> str:
        return address("determination", record.pk)
