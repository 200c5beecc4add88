"""What is asked of captures, marks looked for and looks at a fish as they should stand, and how they are written."""

from dataclasses import fields
from typing import Any

from django.utils import timezone

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import Capture, FishDetails, HealthLook, MarkSearch, Record
from registry.operations.corrections.asked import Correction, changed
from registry.operations.corrections.of_fish import objections_to_details
from registry.operations.fish import replace_details
from registry.operations.identity.rewriting import Rewriting
from registry.operations.shared.desk import Desk
from registry.queries.known import Named
from registry.rules.intake.captures import (
    CaptureMade,
    HealthSeen,
    MarkLooked,
    objections_to_capture,
    objections_to_health,
    objections_to_marks,
)
from registry.rules.intake.zones import zone_of
from registry.rules.known import Known
from registry.rules.papers.acts import Act
from registry.rules.papers.permits import objections_to_permit

NO_COLUMNS = ("fish", "permit_reason")
CAPTURE = tuple(one.name for one in fields(CaptureMade) if one.name not in NO_COLUMNS)
HEALTH = tuple(one.name for one in fields(HealthSeen) if one.name not in NO_COLUMNS)


def named_by_capture(entry: Correction) -> Named:
    """Return what a capture names: its fish, and the permit that it should name."""
    record: Any = entry.record
    return Named(fish={record.fish.number}, permits={entry.changes.get("permit", record.permit)})


def named_by_mark(entry: Correction) -> Named:
    """Return what the search for one mark names."""
    record: Any = entry.record
    return Named(fish={record.capture.fish.number})


def judge_capture(entry: Correction, row: Capture, known: Known) -> list[Objection]:
    """Return what is in the way of a capture as it should stand, of its fish's details too where they follow."""
    record: Any = entry.record
    made = _as_made(row)
    found = objections_to_capture(made, timezone.now())
    fish = known.find_fish(record.fish.number)
    species, stock = (fish.species, fish.stock) if fish else ("", "")
    act = Act("capture", made.caught_on, species, stock, 1, "fish", record.fish.number, made.place)
    permit = known.find_permit(row.permit)
    if permit and record.permit.casefold() == row.permit.casefold():
        own = [one for one in permit.acts if (one.kind, one.number) == (act.kind, act.number)][:1]
        permit.acts = [one for one in permit.acts if one not in own]
    found += objections_to_permit(row.permit, [act], known, why=entry.reason)
    row.permit = known.permit_named(row.permit)
    details, changes = _details_that_follow(record, row)
    if details and changes:
        found += [one.on("caught_at") for one in objections_to_details(changed(details, changes), details, known)]
    return found


def judge_mark(_entry: Correction, row: MarkSearch, _known: Known) -> list[Objection]:
    """Return what is in the way of the search for one mark as it should stand."""
    looked = MarkLooked(way=row.way, looked=row.looked, found=row.found)
    found = objections_to_marks([looked], "")
    return [one.on("found") for one in found if one.code != "marks_not_sought"]


def judge_health(_entry: Correction, row: HealthLook, known: Known) -> list[Objection]:
    """Return what is in the way of a look at a fish as it should stand."""
    told = {name: getattr(row, name) for name in HEALTH}
    return objections_to_health(HealthSeen(fish=row.fish.number, **told), known)


def write_capture(desk: Desk, made: Entry, record: Capture, row: Capture) -> Record:
    """Write the capture again with the marks looked for, and let the fish's own day and place of capture follow."""
    details, changes = _details_that_follow(record, row)
    if details and changes:
        replace_details(made, details, **changes)
    run = Rewriting(desk, made, noted=False)
    run.want(record, {name: getattr(row, name) for name in CAPTURE})
    run.run()
    return run.standing_for(record)


def _as_made(row: Capture) -> CaptureMade:
    told = {name: getattr(row, name) for name in CAPTURE}
    there = row.caught_at.astimezone(zone_of(row.zone))
    return CaptureMade(fish=row.fish.number, **(told | {"caught_at": there}))


def _details_that_follow(record: Capture, row: Capture) -> tuple[FishDetails | None, dict[str, Any]]:
    """Return the fish's details, and what changes in them where they say what the capture said."""
    rows = FishDetails.objects.current().select_related("fish", "species", "stock")
    details = rows.filter(fish=record.fish_id).first()
    if details is None:
        return None, {}
    before, after = _as_made(record), _as_made(row)
    changes: dict[str, Any] = {}
    same_day = (details.caught_on, details.caught_precision or "day") == (before.caught_on, "day")
    if same_day and after.caught_on != before.caught_on:
        changes["caught_on"] = after.caught_on
    if details.caught_at == before.place != after.place:
        changes["caught_at"] = after.place
    return details, changes
