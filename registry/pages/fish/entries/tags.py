"""Tags: put on, lost or ended, replaced."""

from typing import Any
from urllib.parse import urlencode

from django import forms
from django.utils import timezone

from registry.models import Evidence, Tag
from registry.operations.shared.entries import TagAttachment, TagEnd
from registry.operations.tags import TagReplacement, attach_tag, record_tag_lost, replace_tag
from registry.permissions import ENTER
from registry.rules.fixed.cautions import ANAESTHETICS
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Code, Day, FishNumber
from registry.web.links import address
from registry.web.notations import some

# A tag ends with its fish when the fish is entered as dead or gone.
WHY_ENDED = [choice for choice in Tag.EndReason.choices if choice[0] not in ("replaced", "fish left")]

KNOWN_BY = {
    "required": False, "choices": some(*Evidence.choices), "label": "Known to be this fish by",
    "help_text": "Where its tag was lost or no longer reads. Leave it empty for a fish that nobody mistakes.",
}  # fmt: skip
LIKELY = {
    "required": False, "max_digits": 4, "decimal_places": 3, "label": "If asserted, how likely",
    "help_text": "A share such as 0.8; only where nothing proves it.",
    "widget": forms.TextInput(attrs={"inputmode": "decimal"}),
}  # fmt: skip
SEEN = {"required": False, "max_length": 120, "label": "What was seen"}


class AttachForm(EntryForm):
    """The fish, the code, and where it sits."""

    fish = FishNumber(label="Fish", help_text="Register number, or a tag that it bears.")
    code = Code(label="New tag")
    site = forms.CharField(
        required=False, max_length=60, label="Where it sits", help_text="Place on the body, and which side."
    )
    attached_on = Day(label="Put on", initial=timezone.localdate)
    known_by = forms.ChoiceField(**KNOWN_BY)
    probability = forms.DecimalField(**LIKELY)
    evidence = forms.CharField(**SEEN)

    def entry(self) -> TagAttachment:
        """Return what the operation takes."""
        return TagAttachment(**self.cleaned_data)


class EndForm(EntryForm):
    """The code that is no longer on its fish, and why."""

    code = Code(label="Tag", help_text="The code as it was, from the fish's page or the paper book.")
    end_reason = forms.ChoiceField(choices=WHY_ENDED, label="What became of it")
    ended_on = Day(label="Since", initial=timezone.localdate, help_text="The first day on which it was gone.")
    evidence = forms.CharField(required=False, max_length=120, label="How it was noticed")

    def entry(self) -> TagEnd:
        """Return what the operation takes."""
        return TagEnd(**self.cleaned_data)


class ReplaceForm(EntryForm):
    """The old code, the new one, one day."""

    old = Code(label="Old tag")
    new = Code(label="New tag")
    replaced_on = Day(label="Replaced on", initial=timezone.localdate)
    site = forms.CharField(
        required=False, max_length=60, label="Where the new one sits", help_text="Place on the body, and which side."
    )
    known_by = forms.ChoiceField(**KNOWN_BY)
    probability = forms.DecimalField(**LIKELY)
    evidence = forms.CharField(**SEEN)

    def entry(self) -> TagReplacement:
        """Return what the operation takes."""
        return TagReplacement(**self.cleaned_data)


def way_aside(form: forms.Form, told: tuple[str, str, str]) -> str:
    """Return where a code that another fish bears is set aside, filled in; "" unless that is what was refused.

    `told` are the fields of the fish (or of a tag that means it), of the code and of the day.
    """
    codes = {error.code for errors in form.errors.as_data().values() for error in errors}
    if "duplicate_code" not in codes:
        return ""
    fish, code, day = (form.data.get(name, "") for name in told)
    return f"{address('code_aside')}?{urlencode({'fish': fish, 'code': code, 'read_on': day})}"


class Attach(EntryView):
    """Attach a tag."""

    form_class = AttachForm
    operation = attach_tag
    permission = ENTER
    title = "Attach a tag"
    button = "Attach"
    caution = ANAESTHETICS
    template_name = "registry/fish/identity/tagging.html"
    aside = ""

    def page(self, form: Any, *args: Any, **options: Any) -> Any:
        self.aside = way_aside(form, ("fish", "code", "attached_on"))
        return super().page(form, *args, **options)

    def context(self) -> dict[str, Any]:
        return {"aside": self.aside}

    def after(self, record: Tag) -> str:
        return address("fish", record.fish.number)


class End(EntryView):
    """A tag is lost, dead or taken out."""

    form_class = EndForm
    operation = record_tag_lost
    permission = ENTER
    title = "Tag lost or ended"

    def initial(self) -> dict[str, Any]:
        return borne_by(self.request.GET.get("fish", ""), "code") | super().initial()

    def after(self, record: Tag) -> str:
        return address("fish", record.fish.number)


class Replace(EntryView):
    """One tag out, another in."""

    form_class = ReplaceForm
    operation = replace_tag
    permission = ENTER
    title = "Replace a tag"
    button = "Replace"
    caution = ANAESTHETICS
    template_name = "registry/fish/identity/tagging.html"
    aside = ""

    def page(self, form: Any, *args: Any, **options: Any) -> Any:
        self.aside = way_aside(form, ("old", "new", "replaced_on"))
        return super().page(form, *args, **options)

    def context(self) -> dict[str, Any]:
        return {"aside": self.aside}

    def initial(self) -> dict[str, Any]:
        return borne_by(self.request.GET.get("fish", ""), "old") | super().initial()

    def after(self, record: Tag) -> str:
        return address("fish", record.fish.number)


def borne_by(fish: str, field: str) -> dict[str, Any]:
    """Return the tag that the fish named in the address bears as what a field holds at first, if it bears just one."""
    tags = Tag.objects.current().filter(fish__number=fish, ended_on__isnull=True) if fish else Tag.objects.none()
    codes = list(tags.values_list("code", flat=True)[:2])
    return {field: codes[0]} if len(codes) == 1 else {}
