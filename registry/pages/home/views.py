"""What needs doing today, by role."""

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from registry.models import Role
from registry.permissions import ENTER, IMPORT, PLAN, READ_JOURNAL, RELEASE, Actor, may
from registry.queries.due import Due, Section
from registry.queries.due.today import is_empty, journal_head, sections
from registry.rules.days import spoken
from registry.web.links import address
from registry.web.people import actor

# What hands reach for first: label, page, permission.
ACTIONS = (
    ("Measure a fish", "check_enter", ENTER),
    ("Enter a spawning", "spawning_enter", ENTER),
    ("Take a fish in", "fish_arrive", ENTER),
    ("Admit a fish", "fish_admit", ENTER),
    ("Open a batch", "batch_open", ENTER),
    ("Draft a cross plan", "plan_draft", PLAN),
    ("Enter a release", "release_enter", RELEASE),
    ("Enter a recapture", "recapture_enter", ENTER),
    ("Take in a sheet", "sheets", IMPORT),
    ("Trace a fish", "trace", READ_JOURNAL),
)
# What someone of a role comes for; it stands first.
FIRST = {Role.GENETICIST: "plan_draft", Role.MANAGER: "release_enter", Role.AUDITOR: "trace"}


def home(request: HttpRequest) -> HttpResponse:
    """Show what is due for the roles of the person, and what they can do now."""
    who, today = actor(request), timezone.localdate()
    empty = is_empty()
    lists = [] if empty else [_shown(section) for section in sections(who.roles, today)]
    shown = {
        "title": "Today",
        "day": spoken(today),
        "actions": _actions(who),
        "empty": empty,
        "sheets": address("sheets") if may(who, IMPORT) else "",
        "due": [one for one in lists if one["lines"]],
        "clear": [one["clear"] for one in lists if not one["lines"]],
        "head": journal_head() if may(who, READ_JOURNAL) else None,
        "journal": address("journal"),
    }
    return render(request, "registry/home/home.html", shown)


def _actions(who: Actor) -> list[dict[str, str]]:
    first = {FIRST[role] for role in who.roles if role in FIRST}
    allowed = [(label, page) for label, page, needed in ACTIONS if may(who, needed)]
    ordered = sorted(allowed, key=lambda action: action[1] not in first)
    found = [{"label": label, "address": address(page)} for label, page in ordered]
    return [action for action in found if action["address"]]


def _shown(section: Section) -> dict[str, Any]:
    lines = [{"text": due.text, "detail": due.detail, "address": _leads_to(due)} for due in section.dues]
    if section.more:
        lines.append({"text": "and more: see the list", "detail": "", "address": address(section.page)})
    shown = {"title": section.title, "hint": section.hint, "clear": section.clear, "lines": lines}
    return shown | {"count": f"{len(section.dues)}+" if section.more else str(len(section.dues))}


def _leads_to(due: Due) -> str:
    target = address(due.page, due.number) if due.number else address(due.page)
    return f"{target}?{urlencode(due.filled)}" if target and due.filled else target
