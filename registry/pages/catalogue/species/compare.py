"""Look-alikes: two species side by side, by the characters in which they differ; printed, it is the field card."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from registry.pages.catalogue.species.words import expected
from registry.queries.catalogue.profiles import profiles
from registry.queries.catalogue.species import species_choices
from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.profile import Profile
from registry.rules.identity.shared import differences
from registry.web.entry import drawings
from registry.web.entry_view import EntryForm
from registry.web.notations import named

# What fits on one sheet of paper; the rest is on the screen.
ON_CARD = 9
# A character in which so much of the two species looks alike tells them apart only seldom.
MOSTLY_ALIKE = 0.5


class PairForm(EntryForm):
    """Two species."""

    one = forms.ChoiceField(choices=named(species_choices), label="Species")
    two = forms.ChoiceField(choices=named(species_choices), label="beside")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("one") and data.get("one") == data.get("two"):
            self.add_error("two", "Choose another species than the first.")
        return data


def compare(request: HttpRequest) -> HttpResponse:
    """Show the characters in which two species differ, those that tell them apart best first."""
    form = PairForm(request.GET if request.GET else None)
    shown: dict[str, Any] = {"title": "Look-alikes", "form": form}
    if form.is_bound and form.is_valid():
        by_key = {one.key: one for one in profiles()}
        one, two = (by_key[form.cleaned_data[name]] for name in ("one", "two"))
        shown |= _beside(one, two)
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "registry/catalogue/species/compare.html", shown, status=status)


def _beside(one: Profile, two: Profile) -> dict[str, Any]:
    found = differences(one, two)
    rows = [
        {
            "name": BY_KEY[key].name,
            "how": BY_KEY[key].how,
            "where": drawings.number(key, "where") if key != "snout_percent" else "",
            "looks": [_shown(key, one, "one"), _shown(key, two, "two")],
            "seldom": shared > MOSTLY_ALIKE,
            "off_card": n >= ON_CARD,
        }
        for n, (key, shared) in enumerate(found)
        if shared < 1
    ]
    known = [key for key in BY_KEY if one.knows(key) or two.knows(key)]
    alike = [BY_KEY[key].name.lower() for key, shared in found if shared >= 1]
    return {
        "title": f"{one.common} beside {two.common}",
        "one": one,
        "two": two,
        "rows": rows,
        "alike": alike,
        "unknown": [BY_KEY[key].name.lower() for key in known if not (one.knows(key) and two.knows(key))],
    }


def _shown(key: str, profile: Profile, prefix: str) -> dict[str, Any]:
    if BY_KEY[key].states:
        shares = profile.looks.get(key, {})
        drawn = [drawings.look(key, look, prefix) for look in sorted(shares, key=lambda look: -shares[look])]
    else:
        span = profile.spans[key]
        ends = [end for end in (span.low, span.high) if end is not None]
        drawn = [drawings.number(key, prefix, sum(ends) / len(ends))] if key == "snout_percent" and ends else []
    return {"words": expected(key, profile), "drawings": drawn}
