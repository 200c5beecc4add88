"""Pages on which a document is attached, attached elsewhere too, or withdrawn."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from registry.models import Document
from registry.operations.papers.documents import attach_also, attach_document, withdraw_document
from registry.pages.papers.document_forms import AlsoForm, DocumentForm, WithdrawForm
from registry.permissions import CORRECT, ENTER
from registry.queries.papers.documents import subject_meant
from registry.web.entry_view import EntryView


class Attach(EntryView):
    """A new document; `?on=fish:F1` says what it is about."""

    form_class = DocumentForm
    operation = attach_document
    permission = ENTER
    title = "Attach a document"
    button = "Attach it"
    warns = False

    def form_kwargs(self) -> dict[str, Any]:
        return {"request": self.request}

    def initial(self) -> dict[str, Any]:
        meant = subject_meant(self.request.GET.get("on", ""))
        return {"kind": meant.kind, "number": meant.number} if meant else super().initial()


class AttachAlso(EntryView):
    """A document that is about another record too."""

    form_class = AlsoForm
    operation = attach_also
    permission = ENTER
    button = "Attach it there too"
    warns = False

    def dispatch(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        self.document = get_object_or_404(Document.objects.current(), number=options["number"])
        self.title = f"Attach document {self.document.number} elsewhere too"
        return super().dispatch(request, *args, **options)

    def form_kwargs(self) -> dict[str, Any]:
        return {"document": self.document.number}


class Withdraw(EntryView):
    """A document that does not belong here."""

    form_class = WithdrawForm
    operation = withdraw_document
    permission = CORRECT
    button = "Withdraw it"
    warns = False
    then = "document_list"

    def dispatch(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        self.document = get_object_or_404(Document.objects.current(), number=options["number"])
        self.title = f"Withdraw document {self.document.number}"
        return super().dispatch(request, *args, **options)

    def form_kwargs(self) -> dict[str, Any]:
        return {"document": self.document.number}
