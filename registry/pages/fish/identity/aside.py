"""A code met on a second fish: set aside, and resolved."""

from typing import Any

from django import forms
from django.utils import timezone

from registry.models import SetAside
from registry.operations.identity.set_aside import resolve_code_aside, set_code_aside
from registry.operations.shared.entries import AsideResolved, CodeAside
from registry.permissions import ENTER
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Code, Day, FishNumber
from registry.web.links import address


class AsideForm(EntryForm):
    """The second fish, the code, and what was seen."""

    fish = FishNumber(label="Fish in hand", help_text="Its register number: its tag means the other fish.")
    code = Code(label="Code read on it")
    read_on = Day(label="Read on", initial=timezone.localdate)
    reason = forms.CharField(
        max_length=120, label="Why it is another fish", help_text="Sex, length, second tag, the other seen elsewhere."
    )

    def entry(self) -> CodeAside:
        """Return what the operation takes."""
        return CodeAside(**self.cleaned_data)


class ResolveForm(EntryForm):
    """What came out."""

    fish = FishNumber(label="Fish")
    code = Code(label="Code set aside")
    resolution = forms.ChoiceField(choices=SetAside.Resolution.choices, label="What came out", widget=forms.RadioSelect)
    resolved_on = Day(label="Found out on", initial=timezone.localdate)
    reason = forms.CharField(required=False, max_length=120, label="How")

    def entry(self) -> AsideResolved:
        """Return what the operation takes."""
        return AsideResolved(**self.cleaned_data)


class Aside(EntryView):
    """Set a code aside."""

    form_class = AsideForm
    operation = set_code_aside
    permission = ENTER
    title = "Set a code aside"
    button = "Set aside"
    template_name = "registry/fish/identity/aside.html"

    def after(self, record: SetAside) -> str:
        return address("fish", record.fish.number)


class Resolve(EntryView):
    """Say what came out of a code set aside."""

    form_class = ResolveForm
    operation = resolve_code_aside
    permission = ENTER
    title = "A code set aside"
    button = "Settle"
    template_name = "registry/fish/identity/resolve.html"

    def context(self) -> dict[str, Any]:
        return {"fish": self.request.GET.get("fish", "")}

    def after(self, record: SetAside) -> str:
        return address("fish", record.fish.number)
