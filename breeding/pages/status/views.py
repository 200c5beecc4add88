"""The genetic status of a stock."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from breeding.genetics.errors import PedigreeError
from breeding.pages.status import pictures
from breeding.pages.status.asked import TITLE, asked, query_of, refused, unasked
from breeding.pages.status.exports import SHEETS, band_names, csv_file
from breeding.pages.status.words import of_stock, size_text
from breeding.planning.reasons import relatives
from registry.permissions import RELATE_FOUNDERS, may
from registry.queries.status.figures import Status
from registry.queries.status.founders import FounderFigures
from registry.queries.status.group import SEED
from registry.queries.status.keep import kept_status
from registry.queries.status.names import labels
from registry.web.links import address
from registry.web.people import actor


def status(request: HttpRequest) -> HttpResponse:
    """Show the figures of a stock, or give one of its tables as a file."""
    form = asked(request)
    if not form.is_valid():
        return unasked(request, form)
    stock, batches = form.cleaned_data["stock"], form.cleaned_data["batches"]
    try:
        found = kept_status(stock, batches=batches)
    except PedigreeError as error:
        return refused(request, error)
    wanted = request.GET.get("export", "")
    if found and wanted in SHEETS:
        return csv_file(f"{stock.name} {wanted}", SHEETS[wanted](found))
    shown = {"title": TITLE, "asked": form, "stock": stock, "query": query_of(form), "here": "status"}
    shown["may_relate"] = may(actor(request), RELATE_FOUNDERS)
    return render(request, "breeding/status/status.html", shown | (_shown(found) if found else {"empty": True}))


def _shown(found: Status) -> dict[str, Any]:
    founders = _named(found)
    return {
        "headline": of_stock(found),
        "young": found.young,
        "inherits": found.inherits,
        "years": found.years,
        "diversity": pictures.diversity(found.years),
        "kinship": pictures.kinship(found.years),
        "founders": founders,
        "more_founders": len(found.founders) - len(founders),
        "founder_bars": pictures.founders(founders),
        "last_chance": sum(one.last_chance for one in found.founders),
        "drops": found.headline.drops,
        "seed": SEED,
        "classes": found.year_classes,
        "bands": band_names(),
        "relatives": reversed(relatives(*found.inherits[:2])[1:]),
        "inbreeding": pictures.inbreeding(found.year_classes),
        "sizes": [(one, size_text(one.size)) for one in found.sizes],
        "supposed": found.supposed,
        "unknown_share": found.headline.unknown_share,
        "paths": [(path, age, found.interval.pairs[path]) for path, age in found.interval.paths.items()],
    }


def _named(found: Status) -> list[tuple[FounderFigures, str, str]]:
    """Return the founders that are drawn, with number and address."""
    drawn = found.founders[: pictures.SHOWN_FOUNDERS]
    told = labels(one.key for one in drawn)
    return [(one, told[one.key], address("fish", told[one.key])) for one in drawn]
