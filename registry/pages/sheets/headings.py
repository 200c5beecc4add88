"""The second step: which column is what, and how days and decimals are meant."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from registry.errors import Objection, Refused
from registry.pages.sheets import store
from registry.pages.sheets.forms import KIND_WORDS, ReadingForm, field_choices
from registry.pages.sheets.reading import cell_text, sheet_of
from registry.permissions import IMPORT
from registry.sheets.cells import Sheet, is_blank, tidy
from registry.sheets.columns import field_of, headings_of
from registry.sheets.read import sheet_names
from registry.web.people import needs

_EXAMPLES = 3


@needs(IMPORT)
def headings(request: HttpRequest, token: str) -> HttpResponse:
    """Show the columns with what each is taken for; on POST, keep what the person chose."""
    upload = store.upload_of(request, token)
    names = sheet_names(upload.path, upload.name)
    if request.method != "POST":
        form = ReadingForm(names, initial=_as_kept(upload))
        return _page(request, upload, form)
    form = ReadingForm(names, request.POST)
    if not form.is_valid():
        return _page(request, upload, form)
    try:
        other_sheet = _keep(upload, form.cleaned_data)
        sheet = sheet_of(upload)
    except Refused:
        return _page(request, upload, form)
    if other_sheet:
        store.remember(request, upload)
        return HttpResponseRedirect(request.path)
    upload.columns = chosen_columns(sheet, request.POST)
    try:
        headings_of(upload.kind, sheet.headings, upload.columns)
    except Refused as refused:
        return _page(request, upload, form, refused.objections)
    store.remember(request, upload)
    return HttpResponseRedirect(reverse("sheet_rows", args=[token]))


def _as_kept(upload: store.Upload) -> dict[str, Any]:
    values = {name: getattr(upload, name) for name in ("sheet", "date_order", "decimal", "raw")}
    return values | {"as_of": date.fromisoformat(upload.as_of)}


def _keep(upload: store.Upload, given: Mapping[str, Any]) -> bool:
    """Keep what the form says; return whether another sheet of the workbook was chosen, with headings of its own."""
    upload.date_order, upload.decimal, upload.raw = given["date_order"], given["decimal"], given["raw"]
    upload.as_of = given["as_of"].isoformat()
    before = upload.sheet or sheet_of(upload).name
    upload.sheet = given.get("sheet") or upload.sheet
    if not upload.sheet or upload.sheet == before:
        return False
    upload.columns = {}
    return True


def chosen_columns(sheet: Sheet, posted: Mapping[str, str]) -> dict[str, str]:
    """Return which field each heading was said to stand for."""
    texts = [(at, text) for at, text in enumerate(sheet.headings) if tidy(text)]
    return {text: posted[f"column_{at}"] for at, text in texts if f"column_{at}" in posted}


def _page(
    request: HttpRequest, upload: store.Upload, form: ReadingForm, objections: Sequence[Objection] = ()
) -> HttpResponse:
    try:
        sheet = sheet_of(upload)
    except Refused as refused:
        sheet, objections = None, [*objections, *refused.objections]
    context = {
        "title": f"Columns of {upload.name}",
        "upload": upload,
        "form": form,
        "kind": KIND_WORDS[upload.kind],
        "sheet": sheet,
        "columns": _columns(sheet, upload) if sheet else [],
        "choices": field_choices(upload.kind),
        "objections": objections,
    }
    return render(request, "registry/sheets/headings.html", context, status=422 if objections or form.errors else 200)


def _columns(sheet: Sheet, upload: store.Upload) -> list[dict[str, Any]]:
    columns = []
    for at, text in enumerate(sheet.headings):
        if tidy(text):
            cells = (row.cells[at] for row in sheet.rows if at < len(row.cells) and not is_blank(row.cells[at]))
            examples = [cell_text(cell) for _, cell in zip(range(_EXAMPLES), cells, strict=False)]
            field = field_of(upload.kind, text, upload.columns) or ""
            columns.append({"at": at, "text": tidy(text), "field": field, "examples": examples})
    return columns
