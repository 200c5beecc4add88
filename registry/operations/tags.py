"""Tags: put on, lost, taken out, replaced."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection, Refused
from registry.journal.write import Entry
from registry.models import Fish, Tag
from registry.operations.identity.set_aside import resolve_as_retagged
from registry.operations.shared.desk import Deed, Desk, open_desk, refuse_if_any
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.known import Known, KnownTag
from registry.rules.tagging import (
    TagAttachment,
    TagEnd,
    objections_to_attachment,
    objections_to_tag_end,
    open_tag,
    same_tag,
)
from registry.rules.tags import TagCode


@dataclass(frozen=True, slots=True, kw_only=True)
class TagReplacement:
    """One code out and another in on the same fish, on one day."""

    old: TagCode
    new: TagCode
    replaced_on: date
    site: str = ""
    known_by: str = ""
    probability: Decimal | None = None
    evidence: str = ""


def attach_tag(by: Actor, entry: TagAttachment, *, confirmed: bool = True) -> Tag:
    """Put a code on a fish. Refused: active on another fish at the time, impossible days, a fish that is gone."""
    return ATTACHMENT.do(by, entry, confirmed=confirmed)


def record_tag_lost(by: Actor, entry: TagEnd, *, confirmed: bool = True) -> Tag:
    """End a code with the reason why it is no longer on its fish. Refused: a code that is on no fish."""
    return TAG_END.do(by, entry, confirmed=confirmed)


def replace_tag(by: Actor, entry: TagReplacement, *, confirmed: bool = True) -> Tag:
    """End a code and put another on the same fish, both or neither. Refused: what refuses either of the two."""
    end = TagEnd(code=entry.old, ended_on=entry.replaced_on, end_reason="replaced", evidence=entry.evidence)
    named = Named(codes={entry.old.code, entry.new.code}, near=True)
    with open_desk(by, ENTER, named) as desk:
        held = open_tag(entry.old, desk.known)
        found = [o.on(_OF_OLD.get(o.field, o.field)) for o in objections_to_tag_end(end, desk.known)]
        if held is None:
            raise Refused(found)
        new = TagAttachment(
            fish=held.fish,
            code=entry.new,
            attached_on=entry.replaced_on,
            site=entry.site,
            known_by=entry.known_by,
            probability=entry.probability,
            evidence=entry.evidence,
        )
        found += [o.on(_OF_NEW.get(o.field, o.field)) for o in objections_to_attachment(new, desk.known)]
        refuse_if_any(list(dict.fromkeys(found)), confirmed)
        _write_tag_end(desk, end)
        return write_attachment(desk, new)


_OF_OLD = {"code": "old", "ended_on": "replaced_on"}
_OF_NEW = {"code": "new", "attached_on": "replaced_on"}


def named_by_attachment(entry: TagAttachment) -> Named:
    """Return what an attachment names."""
    return Named(fish={entry.fish}, codes={entry.code.code}, near=True)


def note_attachment(entry: TagAttachment, known: Known) -> None:
    """Let later entries know this tag."""
    for tag in known.tags.get(entry.code, []):
        if same_tag(tag, entry):
            tag.attached_on, tag.attached_known, tag.ended_on = entry.attached_on, True, end_of(entry, known)
            return
    fish = known.find_fish(entry.fish)
    known.add_tag(KnownTag(entry.code, fish.number if fish else entry.fish, entry.attached_on, end_of(entry, known)))


def end_of(entry: TagAttachment, known: Known) -> date | None:
    """Return the day on which the code came off: as told, or the day on which the fish left."""
    fish = known.find_fish(entry.fish)
    if entry.ended_on is None and fish and fish.left_on:
        return max(fish.left_on.first, entry.attached_on)
    return entry.ended_on


def write_attachment(desk: Desk, entry: TagAttachment) -> Tag:
    """Write a judged attachment; a code whose day was not known gets its day by a later row."""
    fish = desk.fish(entry.fish)
    made = desk.entry("tag attached", f"fish {fish.number}", entry.attached_on)
    known_tag = next((t for t in desk.known.tags.get(entry.code, []) if same_tag(t, entry)), None)
    if known_tag:
        _withdraw_undated(desk, made, fish, entry)
    ended = end_of(entry, desk.known)
    tag = made.add(
        Tag(
            fish=fish,
            system=entry.code.system,
            code=entry.code.code,
            site=entry.site,
            attached_on=entry.attached_on,
            ended_on=ended,
            end_reason=entry.end_reason or ("fish left" if ended else ""),
            retag=entry.code.retag or None,
            known_by=entry.known_by,
            probability=entry.probability,
            evidence=entry.evidence,
        )
    )
    resolve_as_retagged(made, fish, entry.code, entry.attached_on)
    note_attachment(entry, desk.known)
    return tag


def _withdraw_undated(desk: Desk, made: Entry, fish: Fish, entry: TagAttachment) -> None:
    desk.door.write_rows()
    rows = Tag.objects.current().filter(fish=fish.pk, system=entry.code.system, code=entry.code.code)
    for tag in rows.filter(attached_known=False):
        made.withdraw(tag)


def _note_tag_end(entry: TagEnd, known: Known) -> None:
    tag = open_tag(entry.code, known)
    if tag:
        tag.ended_on = entry.ended_on


def _write_tag_end(desk: Desk, entry: TagEnd) -> Tag:
    desk.door.write_rows()
    rows = Tag.objects.current().filter(system=entry.code.system, code=entry.code.code, ended_on__isnull=True)
    tag = rows.select_related("fish").first()
    if tag is None:
        raise Refused(Objection("unknown_tag", "code", f"Code {entry.code.code} is not active on any fish."))
    made = desk.entry("tag ended", f"fish {tag.fish.number}", entry.ended_on, reason=entry.evidence)
    made.end(tag, ended_on=entry.ended_on, end_reason=entry.end_reason)
    _note_tag_end(entry, desk.known)
    return tag


ATTACHMENT = Deed(ENTER, named_by_attachment, objections_to_attachment, note_attachment, write_attachment)
TAG_END = Deed(ENTER, lambda e: Named(codes={e.code.code}), objections_to_tag_end, _note_tag_end, _write_tag_end)
