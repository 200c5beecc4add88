"""Pages on which a release or a recapture is entered or a release corrected."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from registry.errors import Refused
from registry.models import ReleaseDetails
from registry.operations.corrections import Correction, correct
from registry.operations.young.releases import record_recapture, release
from registry.pages.releases import forms
from registry.permissions import CORRECT, ENTER, RELEASE, Actor
from registry.web.entry.lines import MORE, apart, at_its_line, line_count, lines_of
from registry.web.entry_view import EntryView
from registry.web.links import address

CAUTION = (
    "A release needs a permit, and usually a health certificate and a passed withdrawal time after any treatment. "
    "Permit, certificate and waiting times are decided by the authority, the licensed veterinarian, the label "
    "and local law; the register only keeps their numbers."
)


class EnterRelease(EntryView):
    """Fish put into open water; `?batch=` or `?fish=` names the first."""

    form_class = forms.ReleaseForm
    operation = release
    permission = RELEASE
    title = "Enter a release"
    button = "Enter the release"
    caution = CAUTION
    template_name = "registry/web/entry_lines.html"

    def form_kwargs(self) -> dict[str, Any]:
        sent = self.request.POST
        return {"lines": {"batch": line_count(sent, "batch", 3), "fish": line_count(sent, "fish", 5)}}

    def initial(self) -> dict[str, Any]:
        named = {f"{name}_0": self.request.GET.get(name, "") for name in ("batch", "fish")}
        return super().initial() | named

    def page(self, form: Any, *args: Any, **options: Any) -> HttpResponse:
        parts = {"title": "Fish out of batches", "lines": lines_of(form, forms.PARTS)}
        fish = {
            "title": "Registered fish",
            "lines": lines_of(form, forms.SCANNED),
            "help": "Scan each fish into a line.",
        }
        others = [field for field in apart(form, forms.PARTS) if not field.name.startswith("fish_")]
        self.lines = {"groups": [parts, fish], "apart": others}
        return super().page(form, *args, **options)

    def context(self) -> dict[str, Any]:
        return self.lines

    def post(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        if MORE in request.POST:
            return self.page(self.form_class(initial=request.POST.dict(), **self.form_kwargs()))
        return super().post(request, *args, **options)

    def write(self, entry: Any) -> Any:
        names = {"batches": "batch", "count": "count", "fish": "fish"}
        try:
            return super().write(entry)
        except Refused as refused:
            found = [at_its_line(one, self.request.POST, names) for one in refused.objections]
            raise type(refused)(found) from refused


class EnterRecapture(EntryView):
    """A fish met again."""

    form_class = forms.RecaptureForm
    operation = record_recapture
    permission = ENTER
    title = "Enter a recapture"
    button = "Enter the recapture"


def correct_release(by: Actor, entry: Correction, *, confirmed: bool) -> ReleaseDetails:  # noqa: ARG001  (no warnings)
    """Correct a release's details; a correction has no warnings to confirm."""
    return correct(by, entry)


class CorrectRelease(EntryView):
    """Place, position, permit of a release; what was entered stays readable."""

    form_class = forms.ReleaseCorrectionForm
    operation = correct_release
    permission = CORRECT
    title = "Correct a release"
    button = "Correct it"
    caution = CAUTION

    def dispatch(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        rows = ReleaseDetails.objects.current().select_related("release", "entry")
        self.record = get_object_or_404(rows, release__number=options["number"])
        self.title = f"Correct release {self.record.release.number}"
        return super().dispatch(request, *args, **options)

    def form_kwargs(self) -> dict[str, Any]:
        return {"record": self.record}

    def initial(self) -> dict[str, Any]:
        names = [name for name in self.form_class.base_fields if name != "reason"]
        return {name: getattr(self.record, name) for name in names}

    def after(self, record: ReleaseDetails) -> str:
        return address("release", record.release.number)
