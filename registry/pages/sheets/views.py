"""A sheet on its way into the register: the file, its headings, every row, one confirm, the result."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from registry.errors import NotAllowed, Refused
from registry.exports.tables import KINDS as FILE_KINDS
from registry.exports.tables import xlsx_file
from registry.pages.sheets import store
from registry.pages.sheets.forms import UploadForm
from registry.pages.sheets.reading import need_catalogue, preview_of, sheet_of, shown_of
from registry.permissions import IMPORT, READ_JOURNAL, may
from registry.sheets.commit import take_in
from registry.sheets.kinds.shared import ADDED, REFUSED, UNCHANGED
from registry.sheets.preview import Preview
from registry.sheets.report import rows_to_mend
from registry.web.links import address
from registry.web.people import actor, needs

ROWS_A_PAGE = 50
FILTERS = (("", "All"), (REFUSED, "Refused"), ("warned", "To look at"), (ADDED, "New"), (UNCHANGED, "Unchanged"))


@needs(IMPORT)
def start(request: HttpRequest) -> HttpResponse:
    """Take the file."""
    who = actor(request)
    shown = {"title": "Take in a sheet", "button": "Look at it", "uploads": store.uploads(request)}
    if request.method != "POST":
        form = UploadForm(who, initial={"as_of": timezone.localdate()})
        return render(request, "registry/sheets/start.html", shown | {"form": form})
    posted, files = request.POST, request.FILES
    form = UploadForm(who, max(getattr(request, "too_large", {}).values(), default=0), posted, files)
    if form.is_valid():
        given = form.cleaned_data
        upload = store.keep(request, given["file"], given["kind"], given["as_of"])
        try:
            need_catalogue(who)
            sheet_of(upload)
            return HttpResponseRedirect(reverse("sheet", args=[upload.token]))
        except Refused as refused:
            store.forget(request, upload)
            for objection in refused.objections:
                form.add_error("file", objection.message)
    return render(request, "registry/sheets/start.html", shown | {"form": form}, status=422)


@needs(IMPORT)
def rows(request: HttpRequest, token: str) -> HttpResponse:
    """Show what would become of every row; on POST, take in what was shown."""
    upload = store.upload_of(request, token)
    if upload.taken:
        return HttpResponseRedirect(reverse("sheet_taken", args=[token]))
    try:
        if request.method == "POST":
            return _take(request, upload)
        return _rows_page(request, upload)
    except NotAllowed as refused:
        raise PermissionDenied(str(refused)) from refused
    except Refused as refused:
        for objection in refused.objections:
            messages.error(request, objection.message)
        return HttpResponseRedirect(reverse("sheet", args=[token]))


def _rows_page(request: HttpRequest, upload: store.Upload, refused: Refused | None = None) -> HttpResponse:
    shown = shown_of(upload, actor(request))
    counts = shown.counts()
    which = request.GET.get("show", "")
    which = which if which in dict(FILTERS) else ""
    page = Paginator(shown.of(which), ROWS_A_PAGE).get_page(request.GET.get("page"))
    filters = [(name, word, counts[name]) for name, word in FILTERS]
    context: dict[str, Any] = {"title": f"What becomes of {upload.name}", "upload": upload, "shown": shown}
    context |= {"counts": counts, "filters": filters, "which": which, "page": page}
    context |= {"why_not": refused.objections if refused else ()}
    return render(request, "registry/sheets/rows.html", context, status=422 if refused else 200)


def _take(request: HttpRequest, upload: store.Upload) -> HttpResponse:
    """Take in what the person has seen; if the register has changed since, show the rows anew."""
    found = preview_of(upload, actor(request))
    if request.POST.get("head") != found.head:
        messages.error(request, "The register has changed since you looked. Look at the rows again, then confirm.")
        return HttpResponseRedirect(reverse("sheet_rows", args=[upload.token]))
    refused = len(found.of(REFUSED))
    if refused:
        _keep_refused(upload, found)
    try:
        taken = take_in(actor(request), found, upload.name, accept_valid="good_only" in request.POST)
    except NotAllowed:
        raise
    except Refused as stopped:
        return _rows_page(request, upload, stopped)
    upload.taken = {"rows": taken.rows, "first": taken.first, "last": taken.last, "refused": refused}
    upload.taken |= {"unchanged": len(found.of(UNCHANGED))}
    store.settle(upload)
    store.remember(request, upload)
    return HttpResponseRedirect(reverse("sheet_taken", args=[upload.token]))


def _keep_refused(upload: store.Upload, found: Preview) -> None:
    with xlsx_file(f"{found.kind} to mend", *rows_to_mend(found)) as file:
        store.write_to_mend(upload, file)


@needs(IMPORT)
def taken(request: HttpRequest, token: str) -> HttpResponse:
    """Show what was taken in."""
    upload = store.upload_of(request, token)
    if not upload.taken:
        return HttpResponseRedirect(reverse("sheet_rows", args=[token]))
    reads = may(actor(request), READ_JOURNAL)
    links = {name: address("journal_entry", upload.taken[name]) if reads else "" for name in ("first", "last")}
    context = {"title": f"{upload.name} is taken in", "upload": upload, "links": links}
    return render(request, "registry/sheets/taken.html", context)


@needs(IMPORT)
def to_mend(request: HttpRequest, token: str) -> HttpResponse:
    """Give the refused rows as a file, the reasons in its last column."""
    upload = store.upload_of(request, token)
    if not upload.to_mend.exists():
        raise Http404("No row of this sheet was refused when it was taken in.")
    name = f"{upload.name.rpartition('.')[0] or upload.name}-to-mend.xlsx"
    return FileResponse(upload.to_mend.open("rb"), as_attachment=True, filename=name, content_type=FILE_KINDS["xlsx"])


@require_POST
@needs(IMPORT)
def leave(request: HttpRequest, token: str) -> HttpResponse:
    """Leave a sheet; nothing of it is written."""
    upload = store.upload_of(request, token)
    store.forget(request, upload)
    messages.success(request, f"{upload.name} is left; nothing of it was written just now.")
    return HttpResponseRedirect(reverse("sheets"))
