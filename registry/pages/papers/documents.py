"""The list of documents, one document, and its file."""

from typing import Any
from urllib.parse import urlencode

import django_filters
from django.db.models import QuerySet
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from registry.exports.kept_files import as_attachment
from registry.models import Document
from registry.permissions import CORRECT, ENTER, READ_JOURNAL, may
from registry.queries.papers.documents import Subject, documents_on, subject_meant, subjects_of
from registry.rules.papers.files import KINDS
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, TextFilter
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.people import actor
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable, TimeColumn, tables


class DocumentTable(RegisterTable):
    """Every document."""

    number = LinkColumn(page="document", verbose_name="Document")
    title = tables.Column(verbose_name="Title")
    dated = DayColumn(verbose_name="Day on it")
    about = tables.Column(verbose_name="About", empty_values=(), orderable=False)
    kind = tables.Column(verbose_name="File")
    size_bytes = NumberColumn(verbose_name="Size (kB)")
    entered = TimeColumn(accessor="entry__entered_at", verbose_name="Attached")
    last_order = "number"

    class Meta(RegisterTable.Meta):
        model = Document
        fields = ("number", "title", "dated", "about", "kind", "size_bytes", "entered")
        order_by = ("-entered",)
        empty_text = "No document fits. Loosen a filter, or attach the first one on the page of what it is about."

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.about: dict[int, list[Subject]] = {}

    def render_about(self, record: Document) -> str:
        if record.pk not in self.about:
            self.about = subjects_of([row.pk for row in self.data.data])
        return ", ".join(one.words for one in self.about[record.pk])

    def render_size_bytes(self, value: int) -> int:
        return kilobytes(value)


def kilobytes(size: int) -> int:
    """Return a size in whole kB, upwards."""
    return -(-size // 1000)


class DocumentFilters(RegisterFilters):
    """What the list of documents can be narrowed by."""

    on = django_filters.CharFilter(method="by_subject", label="About", help_text="Such as fish:F1, permit:7.")
    title = TextFilter(label="Title")
    number = TextFilter(label="Document")
    kind = ChoiceFilter(choices=[(kind.key, kind.words) for kind in KINDS.values()], label="File")
    dated = DateRangeFilter(label="Day on it")

    class Meta:
        model = Document
        fields = ()

    def by_subject(self, rows: QuerySet, _name: str, text: str) -> QuerySet:
        meant = subject_meant(text)
        return rows.filter(pk__in=documents_on(meant.kind, meant.number)) if meant else rows.none()


class DocumentList(RegisterList):
    """Every document that stands."""

    table_class = DocumentTable
    filter_class = DocumentFilters
    title = "Documents"
    intro = "Papers as files, attached to what they are about. A file is kept by the hash of its content."
    template_name = "registry/papers/documents.html"

    def rows(self) -> QuerySet:
        return Document.objects.current().select_related("entry")

    def context(self) -> dict[str, Any]:
        meant = subject_meant(self.request.GET.get("on", ""))
        if not may(actor(self.request), ENTER):
            return {"meant": meant}
        attach = address("document_attach") + (f"?{urlencode({'on': meant.text})}" if meant else "")
        return {"meant": meant, "actions": [{"label": "Attach a document", "address": attach}]}


def document(request: HttpRequest, number: str) -> HttpResponse:
    """Show what a document is and what it is about; a withdrawn one too, with the reason."""
    found = get_object_or_404(Document.objects.select_related("entry", "withdrawn"), number=number)
    who = actor(request)
    subjects = subjects_of([found.pk])[found.pk]
    shown = {
        "title": f"Document {number}",
        "document": found,
        "kilobytes": kilobytes(found.size_bytes),
        "subjects": [{"subject": one, "address": page_of(one)} for one in subjects],
        "opens": not found.withdrawn_id or may(who, READ_JOURNAL),
        "enters": may(who, ENTER) and not found.withdrawn_id,
        "corrects": may(who, CORRECT) and not found.withdrawn_id,
        "reads_journal": may(who, READ_JOURNAL),
    }
    return render(request, "registry/papers/document.html", shown)


def page_of(subject: Subject) -> str:
    """Return the page of what a document is about; where it has none, all documents about it."""
    own = address(subject.kind, subject.number)
    return own or f"{address('document_list')}?{urlencode({'on': subject.text})}"


def file(request: HttpRequest, number: str) -> FileResponse:
    """Give a document's file, to be saved; that of a withdrawn one only to those who read the journal."""
    found = get_object_or_404(Document, number=number)
    if found.withdrawn_id and not may(actor(request), READ_JOURNAL):
        raise Http404(f"Document {number} was withdrawn.")
    return as_attachment(found.sha256, found.name, KINDS[found.kind].media_type)
