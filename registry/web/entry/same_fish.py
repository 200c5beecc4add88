"""Before a fish gets a number: those of the register that it may be, and the person's word that it is another."""

from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest

from registry.queries.identity.candidates import candidates
from registry.rules.identity.likeness import Candidate, Seen

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


def asked_about(request: HttpRequest, open_ones: Sequence[Candidate]) -> list[dict[str, Any]]:
    """Return the fish for the template of this name: those still to be decided, then those held apart already."""
    asked = {one.number for one in open_ones}
    ticked = [number for number in held_apart(request) if number not in asked]
    return [{"one": one, "number": one.number} for one in open_ones] + [{"number": n, "apart": True} for n in ticked]
