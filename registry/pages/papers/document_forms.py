"""What is typed of a document, and the entries made of it."""

from typing import Any

from django import forms
from django.http import HttpRequest

from registry.queries.papers.documents import KINDS
from registry.rules.papers.documents import DocumentAlso, DocumentAttached, DocumentWithdrawn
from registry.web.entry.upload import KeptUpload, tell_too_large
from registry.web.entry_view import EntryForm
from registry.web.fields import Day

_ABOUT = [(kind, words) for kind, (words, _, _) in KINDS.items()]


def _kind() -> forms.ChoiceField:
    return forms.ChoiceField(label="About", choices=_ABOUT)


def _number() -> forms.CharField:
    return forms.CharField(label="Its number or name", max_length=80, help_text="As it stands on its page.")


class DocumentForm(EntryForm):
    """A file, what it is, and what it is about."""

    file = KeptUpload(label="File", help_text="PDF, picture (JPEG, PNG, TIFF, WebP), XLSX, CSV or text, up to 20 MB.")
    title = forms.CharField(
        label="Title",
        max_length=120,
        help_text="What it is: health certificate, letter of the authority, report.",
    )
    dated = Day(label="Day on the paper", required=False)
    kind = _kind()
    number = _number()
    notes = forms.CharField(
        label="Notes", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Where the paper itself is kept.",
    )  # fmt: skip

    def __init__(self, *args: Any, request: HttpRequest, **options: Any) -> None:
        super().__init__(*args, **options)
        self.request = request

    def clean(self) -> dict[str, Any]:
        tell_too_large(self, self.request)
        return self.cleaned_data

    def entry(self) -> DocumentAttached:
        """Return what the operation takes."""
        given = dict(self.cleaned_data)
        file = given.pop("file")
        return DocumentAttached(sha256=file.sha256, name=file.name, **given)


class AlsoForm(EntryForm):
    """What else a document is about."""

    kind = _kind()
    number = _number()

    def __init__(self, *args: Any, document: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.document = document

    def entry(self) -> DocumentAlso:
        """Return what the operation takes."""
        return DocumentAlso(document=self.document, **self.cleaned_data)


class WithdrawForm(EntryForm):
    """Why a document is withdrawn."""

    reason = forms.CharField(
        label="Why", max_length=4000, widget=forms.Textarea(attrs={"rows": 3}),
        help_text="The file stays in the register; only those who read the journal still open it.",
    )  # fmt: skip

    def __init__(self, *args: Any, document: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.document = document

    def entry(self) -> DocumentWithdrawn:
        """Return what the operation takes."""
        return DocumentWithdrawn(document=self.document, reason=self.cleaned_data["reason"])
