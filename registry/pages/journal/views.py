"""The journal: its list, one entry in words, and the verification."""

from typing import Any

from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from registry.journal.read import MOST_ROWS, Row, listed, neighbours, rows_of
from registry.journal.verify import verify
from registry.models import JournalEntry
from registry.pages.journal.filters import JournalFilters
from registry.pages.journal.forms import AnchorForm
from registry.pages.journal.tables import JournalTable
from registry.permissions import READ_JOURNAL
from registry.queries.due.today import journal_head
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.people import needs

# Above this a page would keep the person waiting; the command shows its progress.
MOST_ON_PAGE = 200_000


class JournalList(RegisterList):
    """Journal entries, the latest first."""

    table_class = JournalTable
    filter_class = JournalFilters
    title = "Journal"
    intro = "Everything that anyone did, in order of entering; nothing here is ever changed."
    template_name = "registry/journal/list.html"
    permission = READ_JOURNAL
    actions = (("Verify now", "journal_verify", READ_JOURNAL),)

    def rows(self) -> QuerySet:
        return listed()


@needs(READ_JOURNAL)
def journal_entry(request: HttpRequest, seq: int) -> HttpResponse:
    """Show one entry: every row before and after, its hash, what it corrects and what corrects it."""
    entry = JournalEntry.objects.select_related("corrects").filter(seq=seq).first()
    if entry is None:
        raise Http404(f"There is no entry {seq} in the journal.")
    rows, total = rows_of(entry)
    before, after = neighbours(seq)
    shown = {
        "title": f"Entry {seq}",
        "entry": entry,
        "rows": [_row(row) for row in rows],
        "total": total,
        "most": MOST_ROWS,
        "corrected_by": listed().filter(corrects=entry).order_by("seq"),
        "before": before,
        "after": after,
    }
    return render(request, "registry/journal/entry.html", shown)


def _row(row: Row) -> dict[str, Any]:
    return {"row": row, "address": address(*row.page) if row.page[0] else ""}


@needs(READ_JOURNAL)
def journal_verify(request: HttpRequest) -> HttpResponse:
    """Check everything now, in the request, if the journal is not too long for that."""
    head = journal_head()
    too_long = head is not None and head.seq > MOST_ON_PAGE
    form = AnchorForm(request.POST or None)
    shown: dict[str, Any] = {"title": "Verify the journal", "form": form, "head": head, "too_long": too_long}
    if request.method == "POST":
        form = shown["form"] = AnchorForm(request.POST)
        if not form.is_valid():
            return render(request, "registry/journal/verify.html", shown, status=422)
        if not too_long:
            shown |= {"report": verify(form.cleaned_data["anchor"]), "anchor": form.cleaned_data["anchor"]}
            shown["checked_at"] = timezone.now()
    return render(request, "registry/journal/verify.html", shown)
