"""The living of a stock, those with the lowest mean kinship first, a page at a time or as a file."""

from collections.abc import Iterator
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from breeding.genetics.errors import PedigreeError
from breeding.pages.status.asked import TITLE, asked, query_of, refused, unasked
from breeding.pages.status.exports import csv_file
from breeding.pages.status.forms import LivingForm
from breeding.pages.status.tables import LivingTable
from registry.queries.status.keep import kept_status
from registry.queries.status.ranked import Ranked
from registry.web.lists import PAGE_SIZES

AT_ONCE = 2000  # rows of a file read together


def living_fish(request: HttpRequest) -> HttpResponse:
    """Show the living in order of mean kinship."""
    form = asked(request, LivingForm)
    if not form.is_valid():
        return unasked(request, form)
    stock = form.cleaned_data["stock"]
    try:
        found = kept_status(stock)
    except PedigreeError as error:
        return refused(request, error)
    shown = {"title": f"{TITLE}: living fish", "asked": form, "stock": stock, "query": query_of(form), "here": "fish"}
    if found is None:
        return render(request, "breeding/status/fish.html", shown | {"empty": True})
    ranked = Ranked(stock, found, form.cleaned_data["sex"])
    if request.GET.get("export") == "fish":
        return csv_file(f"{stock.name} living fish", (LivingTable([]).headings(), _file_rows(ranked)))
    per_page = _page_size(request)
    paginator = Paginator(ranked, per_page)
    page = paginator.get_page(request.GET.get("page"))
    shown |= {
        "table": LivingTable(list(page)),
        "paged": {"page": page, "paginator": paginator},
        "mean": found.headline.mean_kinship,
        "living": found.headline.living,
        "page_sizes": PAGE_SIZES,
        "per_page": per_page,
    }
    return render(request, "breeding/status/fish.html", shown)


def _file_rows(ranked: Ranked) -> Iterator[list[Any]]:
    for start in range(0, len(ranked), AT_ONCE):
        yield from LivingTable(ranked[start : start + AT_ONCE]).exported_rows()


def _page_size(request: HttpRequest) -> int:
    asked_for = request.GET.get("per_page", "")
    return int(asked_for) if asked_for in {str(size) for size in PAGE_SIZES} else PAGE_SIZES[0]
