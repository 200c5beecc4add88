"""A fish that was missing, released or sent away is in the hatchery again: it lives, in a unit, with its tag."""

from registry.models import Fish, Stay, Tag
from registry.operations.fish import current_details, replace_details
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.queries.papers.use import BACK
from registry.rules.identity.returning import FishReturn, objections_to_return, own_tags
from registry.rules.known import Known, KnownTag

# How it left stands in the row that this one withdraws; what it was sent under counts from there (queries.papers.use).
NOT_GONE = {"left": "", "left_on": None, "left_precision": "", "left_note": "", "left_permit": "", "left_abroad": False}


def record_return(by: Actor, entry: FishReturn, *, confirmed: bool = True) -> Fish:
    """Note that a fish is back. Refused: one that never left or died, a day before it left, no evidence which it is."""
    return RETURN.do(by, entry, confirmed=confirmed)


def _write(desk: Desk, entry: FishReturn) -> Fish:
    fish = desk.fish(entry.fish)
    details = current_details(desk, fish)
    made = desk.entry(BACK, f"fish {fish.number}", entry.returned_on, reason=entry.evidence)
    # The release that it came out of stays named: it was among those fish.
    replace_details(made, details, **NOT_GONE)
    made.add(Stay(unit=desk.unit(entry.unit), fish=fish, since=entry.returned_on))
    if entry.code and not _worn(entry, desk.known):
        made.add(
            Tag(
                fish=fish,
                system=entry.code.system,
                code=entry.code.code,
                site=entry.site,
                attached_on=entry.returned_on,
                retag=entry.code.retag or None,
                known_by=entry.known_by,
                probability=entry.probability,
                evidence=entry.evidence,
            )
        )
    _note(entry, desk.known)
    return fish


def _worn(entry: FishReturn, known: Known) -> bool:
    """Return whether the code is an active tag of the fish: a released fish keeps its tags."""
    fish = known.find_fish(entry.fish)
    return fish is not None and any(tag.ended_on is None for tag in own_tags(entry, fish, known.tags_on(fish.number)))


def _note(entry: FishReturn, known: Known) -> None:
    fish = known.find_fish(entry.fish)
    if fish is None:
        return
    if entry.code and not _worn(entry, known):
        known.add_tag(KnownTag(entry.code, fish.number, entry.returned_on))
    fish.left, fish.left_on = "", None


RETURN = Deed(
    ENTER,
    lambda e: Named(fish={e.fish}, codes={e.code.code} if e.code else set(), near=e.code is not None),
    objections_to_return,
    _note,
    _write,
)
