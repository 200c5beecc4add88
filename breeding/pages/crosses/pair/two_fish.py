"""Two fish in hand: how close are they, and may they be crossed?"""

from decimal import Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from breeding.pages.crosses.pair.forms import TwoFishForm
from breeding.planning.reasons import closeness, figure
from registry.operations.shared.entries import PairWanted
from registry.queries.catalogue import inheritance_named
from registry.queries.crosses.doubt import Doubt, doubts_of
from registry.queries.crosses.pairs import kin_of_pairs, kinship_limit, past_of
from registry.queries.known import Named, known
from registry.rules.crossing.crosses import objections_to_pair
from registry.rules.known import Known, KnownFish
from registry.web.links import address


def two_fish(request: HttpRequest) -> HttpResponse:
    """Show the kinship of two fish, the expected inbreeding of their young, and what speaks against the cross."""
    asked = any(name in request.GET for name in TwoFishForm.base_fields)
    form = TwoFishForm(request.GET if asked else None)
    shown: dict[str, Any] = {"title": "Kinship of two fish", "form": form}
    if asked and form.is_valid():
        shown["answer"] = _answer(form.cleaned_data["one"], form.cleaned_data["other"])
    return render(request, "breeding/crosses/pair/two_fish.html", shown, status=422 if asked and form.errors else 200)


def _answer(one: str, other: str) -> dict[str, Any]:
    facts = known(Named(fish={one, other}, plans=True))
    fish, second = facts.find_fish(one), facts.find_fish(other)
    assert fish is not None
    assert second is not None
    keys = fish.pk or 0, second.pk or 0
    # Fish of two stocks are told as diploids: kinships of stocks set differently cannot be compared.
    inherits = inheritance_named(fish.stock if fish.stock == second.stock else "")
    found = kin_of_pairs([keys], inherits)[keys]
    pair = _as_pair(fish, second)
    answer = {
        "fish": [(each.number, address("fish", each.number)) for each in (fish, second)],
        "same": fish.number == second.number,
        "kinship": figure(found.kinship),
        "inbreeding": figure(found.inbreeding_of_young),
        "words": closeness(inherits.on_two_copies(found.kinship)),
        "doubt": _told(doubts_of([keys], inherits).get(keys), kinship_limit(facts.policy, inherits.ploidy)),
        "inherits": inherits,
        "pair": pair,
    }
    return answer | (_for_crossing(pair, found.kinship, facts) if pair else {})


def _told(doubt: Doubt | None, limit: float | None) -> dict[str, Any] | None:
    """Return the range over the possible parents, and whether the policy's limit lies in it."""
    if doubt is None:
        return None
    least, most = (figure(bound) for bound in doubt.bounds) if doubt.bounds else ("", "")
    return {"least": least, "most": most, "decides": doubt.decides(limit), "limit": figure(limit or 0)}


def _as_pair(one: KnownFish, other: KnownFish) -> tuple[KnownFish, KnownFish] | None:
    """Return the two as dam and sire, or None where they are not a female and a male."""
    by_sex = {one.sex: one, other.sex: other}
    return (by_sex["F"], by_sex["M"]) if {"F", "M"} <= set(by_sex) else None


def _for_crossing(pair: tuple[KnownFish, KnownFish], kinship: float, facts: Known) -> dict[str, Any]:
    dam, sire = pair
    wanted = PairWanted(dam=dam.number, sire=sire.number, kinship=Decimal(repr(kinship)))
    past = past_of([dam.number], [sire.number], timezone.localdate().year)
    return {
        "objections": objections_to_pair(wanted, dam.stock, facts),
        "plans": [(number, address("plan", number)) for number in past.plans.get((dam.number, sire.number), [])],
        "families": past.families.get((dam.number, sire.number), []),
    }
