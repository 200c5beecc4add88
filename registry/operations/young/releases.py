"""Releases and recaptures."""

from typing import Any

from registry.errors import Objection
from registry.models import Fish, Recapture, Release, ReleaseDetails
from registry.operations.fish import current_details, day_columns, end_stay, replace_details
from registry.operations.shared.desk import Deed, Desk, next_number
from registry.operations.shared.ledger import Event, Kind, account, move, note_change
from registry.permissions import ENTER, RELEASE, Actor
from registry.queries.known import Named
from registry.rules.days import Day
from registry.rules.known import Known
from registry.rules.young.releases import (
    RecaptureMade,
    ReleaseMade,
    acts_of_release,
    objections_to_recapture,
    objections_to_release,
)


def release(by: Actor, entry: ReleaseMade, *, confirmed: bool = True) -> Release:
    """Put fish into open water. Refused: more than a batch holds, fish that are gone, no place on Earth."""
    return RELEASING.do(by, entry, confirmed=confirmed)


def record_recapture(by: Actor, entry: RecaptureMade, *, confirmed: bool = True) -> Recapture:
    """Record a fish met again; linked by its code for certain, by a batch mark probably, else not."""
    return RECAPTURE.do(by, entry, confirmed=confirmed)


def write_release(desk: Desk, entry: ReleaseMade) -> Release:
    """Write a judged release."""
    number = entry.number or next_number(Release, f"R{entry.released_on:%y-%m-%d}", desk.new)
    made = desk.entry("fish released", f"release {number}", entry.released_on, entry.permit_reason)
    row = desk.remember(made.add(Release(number=number, released_on=entry.released_on)))
    made.add(
        ReleaseDetails(
            release=row,
            place=entry.place,
            latitude=entry.latitude,
            longitude=entry.longitude,
            permit=desk.known.permit_named(entry.permit),
            mark=entry.mark,
            mean_mass_g=entry.mean_mass_g,
            notes=entry.notes,
        )
    )
    for part in entry.batches:
        ends = (account(desk, made, Kind.BATCH, desk.batch(part.batch)), account(desk, made, Kind.RELEASED))
        move(desk, made, Event.RELEASE, ends, part.count, moved_on=entry.released_on, release=row, stage=entry.stage)
    for fish_number in entry.fish:
        fish = desk.fish(fish_number)
        details = current_details(desk, fish)
        left: dict[str, Any] = day_columns("left", Day(entry.released_on))
        replace_details(made, details, left="released", release_id=row.pk, **left)
        # Its tags go with it into the river and stay active.
        end_stay(made, fish, entry.released_on)
    note_release(entry, desk.known)
    return row


def note_release(entry: ReleaseMade, known: Known) -> None:
    """Let later entries know what is gone."""
    known.note_acts(entry.permit, acts_of_release(entry, known))
    for part in entry.batches:
        note_change(known.find_batch(part.batch), entry.released_on, Event.RELEASE, -part.count)
    for number in entry.fish:
        fish = known.find_fish(number)
        if fish:
            fish.left, fish.left_on = "released", Day(entry.released_on)


def _judge_recapture(entry: RecaptureMade, known: Known) -> list[Objection]:
    found = objections_to_recapture(entry, known)
    if entry.release and not Release.objects.filter(number__iexact=entry.release).exists():
        text = f"There is no release {entry.release} in the register. Correct the number, or leave it empty."
        found.append(Objection("unknown_release", "release", text, entry.release))
    return found


def _write_recapture(desk: Desk, entry: RecaptureMade) -> Recapture:
    number = entry.number or next_number(Recapture, f"C{entry.recaptured_on:%y-%m-%d}", desk.new)
    fish = desk.fish(entry.fish) or _bearer(desk, entry)
    released = Release.objects.filter(number__iexact=entry.release).first() if entry.release else None
    link = Recapture.Link.CERTAIN if fish else Recapture.Link.PROBABLE if released else Recapture.Link.NONE
    made = desk.entry("fish recaptured", f"fish {fish.number}" if fish else f"recapture {number}", entry.recaptured_on)
    return desk.remember(
        made.add(
            Recapture(
                number=number,
                recaptured_on=entry.recaptured_on,
                place=entry.place,
                latitude=entry.latitude,
                longitude=entry.longitude,
                fish=fish,
                release=released,
                link=link,
                code_read=entry.code.code if entry.code else "",
                marks=entry.marks,
                total_length_mm=entry.total_length_mm,
                mass_g=entry.mass_g,
                alive=entry.alive,
                released_again=entry.released_again and entry.alive,
                reported_by=entry.reported_by,
                notes=entry.notes,
            )
        )
    )


def _bearer(desk: Desk, entry: RecaptureMade) -> Fish | None:
    tags = desk.known.tags.get(entry.code, []) if entry.code else []
    worn = [tag for tag in tags if tag.on_day(entry.recaptured_on)]
    return desk.fish(worn[0].fish) if worn else None


RELEASING = Deed(
    RELEASE,
    lambda e: Named(batches={p.batch for p in e.batches}, fish=set(e.fish), permits={e.permit}),
    objections_to_release,
    note_release,
    write_release,
)
RECAPTURE = Deed(
    ENTER,
    lambda e: Named(fish={e.fish} if e.fish else set(), codes={e.code.code} if e.code else set()),
    _judge_recapture,
    lambda _entry, _known: None,
    _write_recapture,
)
