"""Codes met on a second fish: set aside, and resolved once somebody has found out."""

from datetime import date

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import Fish, SetAside
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.identity.set_aside import (
    AsideResolved,
    CodeAside,
    bearer,
    objections_to_code_aside,
    objections_to_resolving,
)
from registry.rules.known import Known
from registry.rules.tags import TagCode


def set_code_aside(by: Actor, entry: CodeAside, *, confirmed: bool = True) -> SetAside:
    """Note a code on a fish while another bears it. Refused: a code that no other fish bears, no reason."""
    return SETTING_ASIDE.do(by, entry, confirmed=confirmed)


def resolve_code_aside(by: Actor, entry: AsideResolved, *, confirmed: bool = True) -> SetAside:
    """Say what came out of a code set aside. Refused: none is open, the other fish still bears the code."""
    return RESOLVING.do(by, entry, confirmed=confirmed)


def put_aside(desk: Desk, made: Entry, fish: Fish, entry: CodeAside) -> SetAside:
    """Write a judged code set aside into an open entry."""
    holder = bearer(entry.code, entry.read_on, desk.known)
    return made.add(
        SetAside(
            fish=fish,
            holder=desk.fish(holder.fish if holder else None),
            system=entry.code.system,
            code=entry.code.code,
            read_on=entry.read_on,
            reason=entry.reason,
        )
    )


def resolve_as_retagged(made: Entry, fish: Fish, code: TagCode, day: date) -> None:
    """Resolve the open codes set aside of a fish that was given another code."""
    if fish.pk is None:
        return
    for row in SetAside.objects.current().filter(fish=fish.pk, resolved_on__isnull=True).exclude(code=code.code):
        made.end(row, resolved_on=max(day, row.read_on), resolution=SetAside.Resolution.RETAGGED)


def _write(desk: Desk, entry: CodeAside) -> SetAside:
    fish = desk.fish(entry.fish)
    made = desk.entry("code set aside", f"fish {fish.number}", entry.read_on, reason=entry.reason)
    return put_aside(desk, made, fish, entry)


def _open(fish: str, code: TagCode, known: Known) -> SetAside | None:
    held = known.find_fish(fish)
    rows = SetAside.objects.current().filter(system=code.system, code=code.code, resolved_on__isnull=True)
    return rows.filter(fish=held.pk).select_related("fish").first() if held else None


def _judge_resolving(entry: AsideResolved, known: Known) -> list[Objection]:
    row = _open(entry.fish, entry.code, known)
    return objections_to_resolving(entry, known, row.read_on if row else None)


def _write_resolving(desk: Desk, entry: AsideResolved) -> SetAside:
    row = _open(entry.fish, entry.code, desk.known)
    made = desk.entry("code set aside resolved", f"fish {row.fish.number}", entry.resolved_on, reason=entry.reason)
    made.end(row, resolved_on=entry.resolved_on, resolution=entry.resolution)
    return row


def _unknown_after(_entry: object, _known: Known) -> None:
    """A code set aside is no tag: what the register knows of tags stays as it was."""


SETTING_ASIDE = Deed(
    ENTER,
    lambda e: Named(fish={e.fish}, codes={e.code.code}),
    objections_to_code_aside,
    _unknown_after,
    _write,
)
RESOLVING = Deed(
    ENTER,
    lambda e: Named(fish={e.fish}, codes={e.code.code}),
    _judge_resolving,
    _unknown_after,
    _write_resolving,
)
