"""One species: its names, what it shows, how large and old it grows, where it belongs, and what stood here before."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from registry.models import AcceptedName, FishDetails, RiverStanding, SpeciesFigure, SpeciesLook, SpeciesName
from registry.permissions import CORRECT, READ_JOURNAL, may
from registry.queries.catalogue.profiles import span_of
from registry.queries.catalogue.species import Earlier, Kept, kept_of
from registry.rules.identity.characters import BY_KEY, CHARACTERS, Character
from registry.rules.identity.figures import FIGURES, SIZES_AND_LIFE
from registry.rules.identity.profile import printed
from registry.web.entry import drawings
from registry.web.people import actor


def species(request: HttpRequest, key: str) -> HttpResponse:
    """Show one species."""
    kept = kept_of(key)
    if kept is None:
        raise Http404
    who = actor(request)
    shown = {
        "title": kept.species.common_name,
        "kept": kept,
        "characters": [_character(one, kept) for one in CHARACTERS],
        "life": [_figure(one.key, kept) for one in SIZES_AND_LIFE],
        "earlier": [_earlier(one) for one in kept.earlier],
        "living": FishDetails.objects.current().filter(species=kept.species, left="").count(),
        "corrects": may(who, CORRECT),
        "reads_journal": may(who, READ_JOURNAL),
    }
    return render(request, "registry/catalogue/species/species.html", shown)


def figure_words(row: SpeciesFigure) -> dict[str, str]:
    """Return a figure's widest and usual range in words, with the unit."""
    span, figure = span_of(row), FIGURES.get(row.figure)
    unit = f" {figure.unit}" if figure and figure.unit else ""
    usual = printed(span.usual_low, span.usual_high)
    widest = str(span)
    return {"widest": f"{widest}{unit}" if widest else "", "usual": f"{usual}{unit}" if usual else ""}


def _figure(key: str, kept: Kept) -> dict[str, Any]:
    row = kept.figures.get(key)
    return {"key": key, "name": FIGURES[key].name, "row": row} | (figure_words(row) if row else {})


def _character(one: Character, kept: Kept) -> dict[str, Any]:
    if not one.states:
        value = kept.figures.get(one.key)
        middle = float(value.low + value.high) / 2 if value and value.low and value.high else None
        drawing = drawings.number(one.key, "shows", middle) if value else ""
        return _figure(one.key, kept) | {"drawings": [drawing] if drawing else [], "numeric": True}
    rows = kept.looks.get(one.key, [])
    return {
        "key": one.key,
        "name": one.name,
        "row": rows[0] if rows else None,
        "widest": _look_words(one, rows),
        "drawings": [drawings.look(one.key, row.look, "shows") for row in rows],
        "numeric": False,
    }


def _look_words(one: Character, rows: list[SpeciesLook]) -> str:
    words = [one.words(row.look) + (f" ({float(row.share):.0%})" if len(rows) > 1 else "") for row in rows]
    return "; ".join(words)


def _earlier(one: Earlier) -> dict[str, Any]:
    row, said = one.row, ""
    if isinstance(row, SpeciesFigure):
        words = figure_words(row)
        what = FIGURES[row.figure].name if row.figure in FIGURES else row.figure
        said = words["widest"] + (f", usual {words['usual']}" if words["usual"] else "")
    elif isinstance(row, SpeciesLook):
        known = BY_KEY.get(row.character)
        what = known.name if known else row.character
        said = f"{known.words(row.look) if known else row.look} ({float(row.share):.0%})"
    elif isinstance(row, AcceptedName):
        what, said = f"Name by {row.authority}", row.name
    elif isinstance(row, RiverStanding):
        what, said = f"In the {row.river}", row.get_standing_display()
    elif isinstance(row, SpeciesName):
        what, said = row.kind.capitalize(), row.name
    return {"what": what, "said": said, "source": getattr(row, "source", ""), "row": row, "taken_back": one.taken_back}
