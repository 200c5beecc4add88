"""Determination: what was seen → how well each species fits, what speaks against it, and where to look next."""

from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from registry.pages.catalogue.species.words import shown_fits
from registry.permissions import ENTER, may
from registry.queries.catalogue.profiles import profiles
from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.determination import Determined, as_seen
from registry.rules.identity.fit import alike, fits
from registry.rules.identity.flags import flags
from registry.rules.identity.next_look import next_looks
from registry.web.entry import drawings
from registry.web.entry.characters import character_fields, circumstances, looked_at, seen_in
from registry.web.entry_view import EntryForm
from registry.web.links import address
from registry.web.people import actor

MOST_NEXT, LEAST_GAIN = 3, 0.005


class LooksForm(EntryForm):
    """Everything that can be seen; all of it may be left open."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields = character_fields() | circumstances()

    def seen(self) -> Determined:
        """Return what was seen, of no fish in particular."""
        return seen_in(self.cleaned_data)


def determine(request: HttpRequest) -> HttpResponse:
    """Show the form, and above it what fits. The whole question stands in the address; nothing is written."""
    asked = request.GET
    bound = any(name in asked for name in (*character_fields(), *circumstances()))
    form = LooksForm(asked if bound else None)
    shown: dict[str, Any] = {
        "title": "Which species is it?",
        "form": form,
        "fish": asked.get("fish", "")[:60],
        "halves": halves(form),
    }
    status = 200
    if bound and form.is_valid():
        entry = form.seen()
        if entry.looks or entry.signs or entry.total_length_mm or entry.mass_g:
            shown |= answer(entry)
            keep = address("determination_enter")
            if may(actor(request), ENTER):
                shown["keep"] = f"{keep}?{asked.urlencode()}"
                shown["arrive"] = "" if shown["fish"] else f"{address('fish_arrive')}?{asked.urlencode()}"
        else:
            shown["nothing"] = True
    elif bound:
        status = 422
    return render(request, "registry/catalogue/species/determine.html", shown, status=status)


def answer(entry: Determined) -> dict[str, Any]:
    """Return what the page says of what was seen."""
    seen, every = as_seen(entry), profiles()
    found = fits(seen, every)
    best = alike(found)
    nexts = [
        {
            "name": BY_KEY[gain.character].name,
            "how": BY_KEY[gain.character].how,
            "bits": gain.bits,
            "field": _field_of(gain.character),
            "drawings": _drawings(gain.character),
        }
        for gain in sorted(next_looks(seen, found), key=lambda gain: BY_KEY[gain.character].costly)[:MOST_NEXT]
        if gain.bits >= LEAST_GAIN
    ]
    return {
        "answered": bool(entry.looks),
        "seen": looked_at(entry.looks),
        "rows": shown_fits(found, seen),
        "alike": [fit.profile for fit in best] if len(best) > 1 else [],
        "compare": _compare(best[0].profile.key, best[1].profile.key) if len(best) == 2 else "",
        "best": best[0].profile if len(best) == 1 else None,
        "flags": flags(seen, found),
        "nexts": nexts,
    }


def halves(form: forms.Form) -> list[tuple[str, list[Any]]]:
    """Return the fields in the parts of the fish that they belong to, each part under its heading."""
    head = ("mouth", "gill_membranes", "lower_lip", "barbel_form", "barbel_place", "nostrils", "snout_percent")
    gills = ("gill_rakers", "raker_form")
    parts: dict[str, list[Any]] = {"Head": [], "Body and fins": [], "Gills": [], "The fish as a whole": []}
    for field in form.visible_fields():
        where = "Body and fins"
        if field.name in head:
            where = "Head"
        elif field.name in gills:
            where = "Gills"
        elif field.name in circumstances():
            where = "The fish as a whole"
        parts[where].append({"field": field, "drawing": drawings.number(field.name.removesuffix("_left"), "count")})
    return list(parts.items())


def _field_of(character: str) -> str:
    return f"id_{character}_left" if BY_KEY[character].both_sides else f"id_{character}"


def _drawings(character: str) -> list[Any]:
    states = BY_KEY[character].states
    if states:
        return [drawings.look(character, state.key, "next") for state in states]
    return [one for one in (drawings.number(character, "next"),) if one]


def _compare(one: str, two: str) -> str:
    return f"{address('species_compare')}?{urlencode({'one': one, 'two': two})}"
