"""Fish: admitted, moved, dead or otherwise gone."""

from dataclasses import replace
from datetime import date
from typing import Any

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import Family, FamilyParents, Fish, FishDetails, Parentage, ParentPair, Stay, Tag
from registry.operations.identity.admitted import write_identity
from registry.operations.intake.samples import note_sample, write_sample
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.fish.ancestry import parts_played
from registry.queries.known import Named
from registry.rules.fish import (
    Admission,
    as_known,
    code_aside,
    objections_to_admission,
    sample_of,
    tagging_day,
)
from registry.rules.intake.moves import Departure, FishMove, objections_to_departure, objections_to_move
from registry.rules.known import Known, KnownFamily, KnownTag, Pair
from registry.rules.papers.permits import act_of_fish, as_sent, objections_to_sending
from registry.rules.parents import objections_to_parts


def admit_fish(by: Actor, entry: Admission, *, confirmed: bool = True) -> Fish:
    """Enter a fish. Refused: number in use, parents that cannot be, impossible days, a code that is on another fish."""
    return ADMISSION.do(by, entry, confirmed=confirmed)


def record_departure(by: Actor, entry: Departure, *, confirmed: bool = True) -> Fish:
    """Note that a fish died, was transferred or is missing; its tags and its stay end. Refused: already gone."""
    return DEPARTURE.do(by, entry, confirmed=confirmed)


def move_fish(by: Actor, entry: FishMove, *, confirmed: bool = True) -> Fish:
    """Move a fish to another holding unit. Refused: no such unit, a fish that is gone, a day before it came here."""
    return MOVE.do(by, entry, confirmed=confirmed)


def named_by_admission(entry: Admission) -> Named:
    """Return what an admission names."""
    parents = {n for p in entry.pairs for n in (p.dam, p.sire) if n}
    return Named(
        fish={entry.number, *parents, *(number for number, _ in entry.held_apart)},
        families={entry.family} if entry.family else set(),
        codes={entry.tag.code} if entry.tag else set(),
        samples={entry.tissue_sample} if entry.tissue_sample else set(),
        near=entry.tag is not None,
    )


def note_admission(entry: Admission, known: Known) -> None:
    """Let later entries know this fish, its tag, its sample and its family."""
    known.add_fish(as_known(entry))
    if entry.tissue_sample:
        note_sample(sample_of(entry), known)
    if entry.family and known.find_family(entry.family) is None:
        known.add_family(KnownFamily(entry.family, stock=entry.stock, pairs=entry.pairs))
    if entry.tag and code_aside(entry, known) is None:
        ended = entry.left_on.first if entry.left_on else None
        begun = tagging_day(entry, known.today)
        known.add_tag(KnownTag(entry.tag, entry.number, begun, ended, attached_known=entry.tagged_on is not None))


def write_admission(desk: Desk, entry: Admission) -> Fish:
    """Write a judged admission."""
    came = entry.caught or entry.hatched
    made = desk.entry("fish admitted", f"fish {entry.number}", came.first if came else None)
    return write_fish(desk, made, entry)


def write_fish(desk: Desk, made: Entry, entry: Admission, **details: Any) -> Fish:
    """Write the rows of one fish into an open entry; `details` adds columns such as the batch it comes from."""
    fish = desk.remember(made.add(Fish(number=entry.number)))
    wanted = KnownFamily(entry.family, stock=entry.stock, pairs=entry.pairs)
    family = family_of(desk, made, wanted, entry.basis) if entry.family else None
    parentage = details.pop("parentage", None)
    if parentage is None and family is None and entry.pairs:
        parentage = parentage_of(desk, made, entry.pairs, entry.basis)
    if parentage is None and family is not None:
        parentage = desk.new[(Parentage, family.number.casefold())]
    made.add(
        FishDetails(
            fish=fish,
            species=desk.species(entry.species),
            confidence=entry.confidence,
            hybrid=entry.hybrid,
            stock=desk.stock(entry.stock),
            sex=entry.sex,
            origin=entry.origin,
            caught_at=entry.caught_at,
            family=family,
            parentage=parentage,
            left=entry.left,
            notes=entry.notes,
            **day_columns("caught", entry.caught),
            **day_columns("hatched", entry.hatched),
            **day_columns("left", entry.left_on),
            **details,
        )
    )
    write_identity(desk, made, entry, fish)
    _write_stay(desk, made, entry, fish)
    note_admission(entry, desk.known)
    if entry.tissue_sample:
        write_sample(desk, made, fish, sample_of(entry))
    return fish


def day_columns(name: str, day: Any) -> dict[str, Any]:
    """Return the two columns of a day as far as it is known."""
    return {f"{name}_on": day.first if day else None, f"{name}_precision": day.precision if day else ""}


def _write_stay(desk: Desk, made: Entry, entry: Admission, fish: Fish) -> None:
    if entry.unit:
        ended = entry.left_on.first if entry.left_on else None
        begun = tagging_day(entry, desk.known.today)
        made.add(Stay(unit=desk.unit(entry.unit), fish=fish, since=begun, until=ended))


def family_of(desk: Desk, made: Entry, wanted: KnownFamily, basis: str, draw: str = "each") -> Family:
    """Return the family of that number, opened with these parents if it is new; its parentage is kept at the desk."""
    family = desk.family(wanted.number)
    key = (Parentage, wanted.number.casefold())
    if family is not None and key not in desk.new:
        current = FamilyParents.objects.current().filter(family=family.pk).select_related("parentage").first()
        if current:
            desk.new[key] = current.parentage
    if family is None:
        family = desk.remember(made.add(Family(number=wanted.number, stock=desk.stock(wanted.stock))))
    if key not in desk.new:
        desk.new[key] = parentage_of(desk, made, wanted.pairs, basis, draw)
        if desk.new[key] is not None:
            made.add(FamilyParents(family=family, parentage=desk.new[key]))
    return family


def parentage_of(desk: Desk, made: Entry, pairs: tuple[Pair, ...], basis: str, draw: str = "each") -> Parentage | None:
    """Return a parentage with these pairs, shared by all that are written at this desk; None for a founder."""
    if not pairs:
        return None
    key = (Parentage, repr((pairs, basis, draw)))
    if key not in desk.new:
        parentage = made.add(Parentage(basis=basis, draw=draw))
        desk.new[key] = parentage
        for pair in pairs:
            made.add(
                ParentPair(
                    parentage=parentage,
                    dam=desk.fish(pair.dam),
                    sire=desk.fish(pair.sire),
                    probability=pair.probability,
                )
            )
    return desk.new[key]


def current_details(desk: Desk, fish: Fish) -> FishDetails:
    """Return the details that hold now; rows handed over at this desk are written first."""
    desk.door.write_rows()
    return FishDetails.objects.current().get(fish=fish)


def replace_details(made: Entry, details: FishDetails, **changes: Any) -> FishDetails:
    """Withdraw a fish's details and write later ones that differ in `changes`."""
    made.withdraw(details)
    columns = {
        field.attname: getattr(details, field.attname)
        for field in FishDetails._meta.concrete_fields
        if field.name not in ("id", "entry", "withdrawn")
    }
    return made.add(FishDetails(**{**columns, **changes}))


def end_tags(made: Entry, fish: Fish, day: date) -> None:
    """End the codes on a fish that is gone, so that no code is active on it."""
    for tag in Tag.objects.current().filter(fish=fish, ended_on__isnull=True):
        made.end(tag, ended_on=max(day, tag.attached_on), end_reason="fish left")


def end_stay(made: Entry, fish: Fish, day: date) -> None:
    """End a fish's stay in its unit."""
    for stay in Stay.objects.current().filter(fish=fish, until__isnull=True):
        made.end(stay, until=max(day, stay.since))


def _write_departure(desk: Desk, entry: Departure) -> Fish:
    fish = desk.fish(entry.fish)
    details = current_details(desk, fish)
    made = desk.entry(f"fish {entry.left}", f"fish {fish.number}", entry.left_on.first, entry.permit_reason)
    told: dict[str, Any] = {"left_note": entry.notes[:200], "left_permit": desk.known.permit_named(entry.permit)}
    told["left_abroad"] = entry.abroad
    replace_details(made, details, left=entry.left, **told, **day_columns("left", entry.left_on))
    end_tags(made, fish, entry.left_on.first)
    end_stay(made, fish, entry.left_on.first)
    _note_departure(entry, desk.known)
    return fish


def _judge_departure(entry: Departure, known: Known) -> list[Objection]:
    found = objections_to_departure(entry, known)
    fish = known.find_fish(entry.fish)
    if fish is None or fish.pk is None or found:
        return found
    sent = [act_of_fish("transfer", entry.left_on.first, fish)]
    found = objections_to_sending(entry, entry.left == "transferred", sent, known)
    return found + objections_to_parts(replace(fish, left=entry.left, left_on=entry.left_on), parts_played(fish.pk))


def _note_departure(entry: Departure, known: Known) -> None:
    fish = known.find_fish(entry.fish)
    if fish:
        fish.left, fish.left_on = entry.left, entry.left_on
        known.note_acts(entry.permit, as_sent(entry, [act_of_fish("transfer", entry.left_on.first, fish)]))


def _judge_move(entry: FishMove, known: Known) -> list[Objection]:
    fish = known.find_fish(entry.fish)
    stays = Stay.objects.current().filter(fish=fish.pk if fish else None, until__isnull=True)
    return objections_to_move(entry, known, stays.values_list("unit__name", "since").first())


def _write_move(desk: Desk, entry: FishMove) -> Fish:
    fish = desk.fish(entry.fish)
    made = desk.entry("fish moved", f"fish {fish.number}", entry.moved_on)
    end_stay(made, fish, entry.moved_on)
    made.add(Stay(unit=desk.unit(entry.unit), fish=fish, since=entry.moved_on))
    return fish


ADMISSION = Deed(ENTER, named_by_admission, objections_to_admission, note_admission, write_admission)
DEPARTURE = Deed(
    ENTER, lambda e: Named(fish={e.fish}, permits={e.permit}), _judge_departure, _note_departure, _write_departure
)
MOVE = Deed(ENTER, lambda e: Named(fish={e.fish}), _judge_move, lambda _entry, _known: None, _write_move)
