"""Before a fish gets a number: those of the register that it may be, and the person's word that it is another."""

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest

from registry.queries.identity.candidates import candidates
from registry.rules.identity.likeness import Candidate, Seen
from registry.web.links import address

# Where the way leads if it is one of them, and what of the form goes along: field there, what was typed here.
BACK = ("fish_return", {"code": "code", "returned_on": "day", "site": "site", "unit": "unit"})
TAGGED = ("tag_attach", {"code": "code", "attached_on": "day", "site": "site"})
MET = (
    "recapture_enter",
    {
        "recaptured_on": "day",
        "place": "place",
        "latitude": "latitude",
        "longitude": "longitude",
        "total_length_mm": "total_length_mm",
        "mass_g": "mass_g",
    },
)
ANOTHER, OFFERED, NONE_OF_THESE = "another_fish", "offered_fish", "none_of_these"


def offered(request: HttpRequest, seen: Seen) -> tuple[list[Candidate], tuple[tuple[str, str], ...]]:
    """Return the fish that nobody has held apart yet, and those that were, by number with what spoke for each."""
    ticked = set(held_apart(request))
    found = candidates(seen)
    asked = [one for one in found if one.number not in ticked]
    return asked, tuple((one.number, one.in_words) for one in found if one.number in ticked)


def held_apart(request: HttpRequest) -> list[str]:
    """Return the fish that the person said it is not: one by one, or all that were shown at once."""
    shown = OFFERED if NONE_OF_THESE in request.POST else ANOTHER
    return list(dict.fromkeys(request.POST.getlist(shown)))


def asked_about(request: HttpRequest, open_ones: Sequence[Candidate], typed: Mapping[str, str]) -> list[dict[str, Any]]:
    """Return the fish for the template of this name: those still to be decided, then those held apart already.

    `typed` is what goes along to the page on which it is entered that the fish is one of them.
    """
    asked = {one.number for one in open_ones}
    ticked = [number for number in held_apart(request) if number not in asked]
    shown = [{"one": one, "number": one.number, **_ways(one, typed)} for one in open_ones]
    return shown + [{"number": number, "apart": True} for number in ticked]


def _ways(one: Candidate, typed: Mapping[str, str]) -> dict[str, str]:
    return {"here": _way(BACK if one.left else TAGGED, one, typed), "met": _way(MET, one, typed)}


def _way(to: tuple[str, Mapping[str, str]], one: Candidate, typed: Mapping[str, str]) -> str:
    page, taken = to
    along = {field: typed[name] for field, name in taken.items() if typed.get(name)}
    return f"{address(page)}?{urlencode({'fish': one.number} | along)}"
