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


MENU = (
    Entry("Today", "home"),
    Entry("Fish", "fish_list"),
    Entry("Quarantine", "quarantine_list"),
    Entry("Samples", "sample_list"),
    Entry("Spawnings", "spawning_list"),
    Entry("Families", "family_list"),
    Entry("Milt", "milt_list"),
    Entry("Batches", "batch_list"),
    Entry("Units", "unit_list"),
    Entry("Releases", "release_list"),
    Entry("Recaptures", "recapture_list"),
    Entry("Permits", "permit_list"),
    Entry("Documents", "document_list"),
    Entry("Cross plans", "plan_list"),
    Entry("Kinship", "kinship"),
    Entry("Genetic status", "status"),
    Entry("Trace", "trace"),
    Entry("Sheets", "sheets", IMPORT),
    Entry("Journal", "journal", READ_JOURNAL),
    Entry("Species", "species_list"),
    Entry("Catalogue", "stock_list"),
    Entry("Accounts", "role_list", ADMINISTER),
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
    """Return the menu's lines for a person, the one of this page marked."""
    lines = []
    for entry in MENU:
        target = address(entry.page)
        if target and (not entry.permission or may(who, entry.permission)):
            here = request.path == target or (target != "/" and request.path.startswith(target))
            lines.append({"label": entry.label, "address": target, "here": here})
    return lines
