"""The figures of any selection out of a stock: a year class, one sex, one origin, a few fish by number."""

from collections.abc import Callable, Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from breeding.genetics.errors import PedigreeError
from breeding.pages.status import pictures
from breeding.pages.status.asked import TITLE, asked, query_of, refused, unasked
from breeding.pages.status.exports import Sheet, csv_file, figures_sheet, founders_sheet, paths_sheet, sizes_sheet
from breeding.pages.status.forms import SelectionForm
from breeding.pages.status.words import of_selection, size_text
from registry.queries.status.group import SEED
from registry.queries.status.names import labels
from registry.queries.status.selection import Member, Selection, members, selection_of, square
from registry.web.links import address

SHOWN = 50
MOST_IN_SQUARE = 1000


def selection(request: HttpRequest) -> HttpResponse:
    """Show the figures of the fish that fit, or give one of the tables as a file."""
    form = asked(request, SelectionForm)
    if "stock" in form.errors:
        return unasked(request, form)
    shown: dict[str, Any] = {"title": f"{TITLE}: selection", "asked": form, "here": "selection"}
    shown |= {"stock": form.cleaned_data["stock"], "query": query_of(form)} if form.is_bound else {}
    if not form.is_valid():
        return render(request, "breeding/status/selection.html", shown | {"wrong": True}, status=422)
    try:
        found = selection_of(form.choice())
    except PedigreeError as error:
        return refused(request, error)
    if found is None:
        return render(request, "breeding/status/selection.html", shown | {"empty": True})
    fish = members(found)
    wanted = request.GET.get("export", "")
    if wanted in SHEETS:
        return csv_file(f"{shown['stock']} selection {wanted}", SHEETS[wanted](found, fish))
    shown["chosen"] = request.GET.urlencode()
    return render(request, "breeding/status/selection.html", shown | _shown(found, fish))


def _shown(found: Selection, fish: list[Member]) -> dict[str, Any]:
    named = found.choice.fish
    founders = found.founders[: pictures.SHOWN_FOUNDERS]
    told = labels(one.key for one in founders)
    return {
        "headline": of_selection(found.figures.headline, found.interval),
        "fish": fish[:SHOWN],
        "count": len(fish),
        "more_fish": len(fish) - SHOWN,
        "unfit": len(named) - len(fish) if named is not None else 0,
        "in_square": min(len(fish), MOST_IN_SQUARE),
        "inherits": found.inherits,
        "founders": [(one, told[one.key], address("fish", told[one.key])) for one in founders],
        "more_founders": len(found.founders) - len(founders),
        "founder_bars": pictures.shares(founders, told),
        "drops": found.figures.headline.drops,
        "seed": SEED,
        "sizes": [(one, size_text(one.size)) for one in found.figures.sizes],
        "paths": [(path, age, found.interval.pairs[path]) for path, age in found.interval.paths.items()],
    }


def _figures(found: Selection, _: Sequence[Member]) -> Sheet:
    return figures_sheet(of_selection(found.figures.headline, found.interval))


def _founders(found: Selection, _: Sequence[Member]) -> Sheet:
    return founders_sheet(found.founders, all_living=False)


def _sizes(found: Selection, _: Sequence[Member]) -> Sheet:
    return sizes_sheet(found.figures.sizes)


def _paths(found: Selection, _: Sequence[Member]) -> Sheet:
    return paths_sheet(found.interval)


def _fish(_: Selection, fish: Sequence[Member]) -> Sheet:
    rows = [(one.number, one.inbreeding, one.mean_kinship) for one in fish]
    return ("fish", "F", "mean kinship within the selection, self included"), rows


def _kinship(found: Selection, fish: Sequence[Member]) -> Sheet:
    among = fish[:MOST_IN_SQUARE]
    numbers = [one.number for one in among]
    rows = zip(numbers, square(found, among).tolist(), strict=True)
    return ["", *numbers], ([number, *row] for number, row in rows)


SHEETS: dict[str, Callable[[Selection, Sequence[Member]], Sheet]] = {
    "figures": _figures,
    "founders": _founders,
    "effective-sizes": _sizes,
    "generation-interval": _paths,
    "fish": _fish,
    "kinship": _kinship,
}
