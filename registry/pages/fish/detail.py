"""One fish: what it is, what is due, what can be done with it now, and its whole life."""

from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from breeding.genetics.errors import PedigreeError
from breeding.genetics.inbreeding import inbreeding
from registry.models import FishDetails, Tag
from registry.pages.fish.care import care, care_items
from registry.pages.fish.due import due_of
from registry.pages.fish.pictures import growth, pedigree
from registry.pages.fish.story import code_of, story
from registry.pages.fish.tables import status
from registry.permissions import CORRECT, ENTER, READ_JOURNAL, Actor, may
from registry.queries.catalogue import Inherits, inheritance_of
from registry.queries.due import ripe
from registry.queries.fish.life import Life, life_of
from registry.queries.fish.relatives import Relatives, relatives
from registry.queries.identity.on_page import Identity, identity_of
from registry.queries.known import policy_days
from registry.queries.pedigree import pedigree_of
from registry.rules.identity.returning import COMES_BACK
from registry.rules.tags import TagCode, told
from registry.web.links import address
from registry.web.people import actor

SEX = {"F": "♀ female", "M": "♂ male", "I": "⚥ intersex", "U": "◇ sex not known"}
NAMED = {
    "field": "named in the field", "expert": "named by an expert", "genetic": "by a genetic test",
    "doubtful": "in doubt",
}  # fmt: skip
# Label, page, permission, and whether only for the living.
ACTIONS = (
    ("Measure or check", "check_enter", ENTER, True),
    ("Move", "fish_move", ENTER, True),
    ("Determine its species", "species_determine", ENTER, False),
    ("Attach a tag", "tag_attach", ENTER, True),
    ("Replace its tag", "tag_replace", ENTER, True),
    ("Tag lost or ended", "tag_end", ENTER, True),
    ("Set a code aside", "code_aside", ENTER, True),
    ("Lay in milt", "milt_collect", ENTER, True),
    ("Died or left", "fish_departure", ENTER, True),
    ("It is back", "fish_return", ENTER, False),
    ("Correct", "fish_correct", CORRECT, False),
    ("Determine parentage", "parentage_determine", CORRECT, False),
    ("Join with another number", "numbers_join", CORRECT, False),
)
# What the form calls the fish, where not simply so.
NAMED_IN_FORM = {"milt_collect": "male", "numbers_join": "kept"}


@dataclass(frozen=True, slots=True)
class Kinship:
    """Inbreeding of a fish, and how much of its pedigree that rests on; `fault` says why there is none."""

    inbreeding: float = 0.0
    ancestors: int = 0
    founders: int = 0
    inherits: Inherits | None = None
    fault: str = ""


def fish(request: HttpRequest, number: str) -> HttpResponse:
    """Show one fish."""
    life = found(number)
    who, today = actor(request), timezone.localdate()
    identity = identity_of(life.fish)
    if identity.proved:
        return _proved(request, life, identity)
    around = relatives(life.fish.pk)
    shown = {
        "title": f"Fish {life.fish.number}",
        "identity": identity,
        "enters": may(who, ENTER),
        "life": life,
        "now": life.details,
        "sex": SEX[life.details.sex],
        "named": NAMED[life.details.confidence],
        "status": _status(life),
        "codes": [shown_tag(tag) for tag in life.active_tags],
        "due": due_of(life, today, ripe(today).filter(fish=life.fish).exists(), policy_days("ripe_check_days", today)),
        "actions": _actions(who, life),
        "story": story(life, care_items(life)),
        "tags": [shown_tag(tag) for tag in life.tags],
        "checks": life.checks,
        "growth": growth(life),
        **determined(life),
        "pedigree": pedigree(around),
        "around": around,
        "parents": life.pairs.get(life.details.parentage_id or 0, []),
        "kinship": kinship(life),
        "reads_journal": may(who, READ_JOURNAL),
        "corrects": may(who, CORRECT),
    }
    return render(request, "registry/fish/fish.html", shown | care(who, life, today))


def _proved(request: HttpRequest, life: Life, identity: Identity) -> HttpResponse:
    """Show a number that proved to be another fish: where it leads, and its history as it was entered."""
    who = actor(request)
    shown = {
        "title": f"Number {life.fish.number}",
        "life": life,
        "identity": identity,
        "story": story(life),
        "tags": [shown_tag(tag) for tag in life.tags],
        "reads_journal": may(who, READ_JOURNAL),
        "corrects": may(who, CORRECT),
    }
    return render(request, "registry/fish/identity/proved.html", shown)


def shown_tag(tag: Tag) -> dict[str, Any]:
    """Return a tag, its code in groups, and what the code says of itself."""
    return {"code": code_of(tag), "tag": tag, "told": told(TagCode(tag.system, tag.code, tag.retag or 0))}


def fish_pedigree(request: HttpRequest, number: str) -> HttpResponse:
    """Show the pedigree picture on a page of its own, to print, with the same facts as a table."""
    life = found(number)
    around = relatives(life.fish.pk)
    shown = {
        "title": f"Pedigree of fish {life.fish.number}",
        "life": life,
        "now": life.details,
        "sex": SEX[life.details.sex],
        "pedigree": pedigree(around),
        "around": around,
        "rows": facts(around),
        "kinship": kinship(life),
        "reads_journal": may(actor(request), READ_JOURNAL),
    }
    return render(request, "registry/fish/pedigree.html", shown)


def found(number: str) -> Life:
    """Return the life of a fish, or answer that it is not in the register."""
    life = life_of(number)
    if life is None:
        raise Http404
    return life


def facts(around: Relatives) -> list[dict[str, Any]]:
    """Return what the pedigree picture shows as rows: fish, possible parents, probability, evidence."""
    none = None
    return [
        {
            "child": around.fish[link.child],
            "dam": around.fish.get(link.dam) if link.dam else none,
            "sire": around.fish.get(link.sire) if link.sire else none,
            "link": link,
        }
        for link in around.links
    ]


def kinship(life: Life) -> Kinship:
    """Return the fish's inbreeding from all that the register knows of its ancestors."""
    inherits = _inherits(life.details)
    try:
        pedigree = pedigree_of([life.fish.pk], *inherits)
        place = pedigree.positions([life.fish.pk])[0]
        founders = len(pedigree.founders())
        return Kinship(float(inbreeding(pedigree)[place]), len(pedigree) - 1, founders, inherits)
    except PedigreeError as error:
        return Kinship(fault=str(error))


def _inherits(now: FishDetails) -> Inherits:
    if now.stock:
        return inheritance_of(now.stock)
    return Inherits(now.species.ploidy) if now.species else Inherits()


def determined(life: Life) -> dict[str, Any]:
    """Return the fish's determinations, and the newest one if it says otherwise than the record does."""
    rows, now = life.care.determinations, life.details
    last = next((row for row in rows if row.withdrawn_id is None), None)
    other = last and (last.hybrid != now.hybrid or (last.species_id and last.species_id != now.species_id))
    return {"determinations": rows, "otherwise": last if other else None}


def _status(life: Life) -> str:
    now: FishDetails = life.details
    return status(now.left, now.left_on, now.left_precision)


def _actions(who: Actor, life: Life) -> list[dict[str, str]]:
    """Return what this person can do with this fish now; what fits only a tagged fish or a male is left out."""
    now, offered = life.details, []
    for label, page, permission, only_living in ACTIONS:
        if not may(who, permission) or (only_living and now.left):
            continue
        if page in ("tag_replace", "tag_end") and not life.active_tags:
            continue
        if page == "fish_return" and now.left not in COMES_BACK:
            continue
        if page == "milt_collect" and now.sex == "F":
            continue
        target = address(page, life.fish.number) if page == "fish_correct" else address(page)
        named = NAMED_IN_FORM.get(page, "fish")
        if target:
            offered.append({"label": label, "address": target, "named": named})
    return offered
