"""What every page's frame shows: who is signed in, the menu for their roles, the theme of this device."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from registry.models import Role
from registry.permissions import ADMINISTER, IMPORT, READ_JOURNAL, Actor, may
from registry.web.links import address
from registry.web.people import actor
from registry.web.theme import theme_of


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the menu: where it leads, and what one must be allowed for it ("" for anyone signed in)."""

    label: str
    page: str
    permission: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """A subject of the register. Its lines are shown once one is in it: a tablet has no room for all of them."""

    label: str
    entries: tuple[Entry, ...]


MENU = (
    Group("Today", (Entry("Today", "home"),)),
    Group(
        "Fish",
        (
            Entry("Fish", "fish_list"),
            Entry("Quarantine", "quarantine_list"),
            Entry("Samples", "sample_list"),
            Entry("Species", "species_list"),
        ),
    ),
    Group(
        "Breeding",
        (
            Entry("Spawnings", "spawning_list"),
            Entry("Families", "family_list"),
            Entry("Milt", "milt_list"),
            Entry("Cross plans", "plan_list"),
            Entry("Kinship", "kinship"),
            Entry("Genetic status", "status"),
        ),
    ),
    Group(
        "Young",
        (Entry("Batches", "batch_list"), Entry("Releases", "release_list"), Entry("Recaptures", "recapture_list")),
    ),
    Group(
        "Hatchery",
        (
            Entry("Units", "unit_list"),
            Entry("Permits", "permit_list"),
            Entry("Documents", "document_list"),
            Entry("Catalogue", "stock_list"),
        ),
    ),
    Group(
        "Records",
        (
            Entry("Trace", "trace"),
            Entry("Sheets", "sheets", IMPORT),
            Entry("Journal", "journal", READ_JOURNAL),
            Entry("Accounts", "role_list", ADMINISTER),
        ),
    ),
)


def frame(request: HttpRequest) -> dict[str, Any]:
    """Return the frame's variables. Entries whose page does not exist are left out."""
    who = actor(request)
    return {
        "who": who,
        "roles": ", ".join(Role(role).label.lower() for role in sorted(who.roles)) or "no role yet",
        "menu": menu(request, who) if who.user_id else [],
        "theme": theme_of(request),
    }


def menu(request: HttpRequest, who: Actor) -> list[dict[str, Any]]:
    """Return the menu's groups for a person, each with its lines, those of this page marked."""
    groups = []
    for group in MENU:
        lines = [line for entry in group.entries if (line := _line(request, who, entry))]
        if lines:
            here = any(line["here"] for line in lines)
            groups.append({"label": group.label, "address": lines[0]["address"], "here": here, "lines": lines})
    return groups


def _line(request: HttpRequest, who: Actor, entry: Entry) -> dict[str, Any] | None:
    target = address(entry.page)
    if not target or (entry.permission and not may(who, entry.permission)):
        return None
    here = request.path == target or (target != "/" and request.path.startswith(target))
    return {"label": entry.label, "address": target, "here": here}
