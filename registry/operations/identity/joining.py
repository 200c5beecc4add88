"""Two numbers that prove to be one fish: every row of the other is written again for the kept one, in one entry.

The second number keeps its rows, taken back, so that its history reads as it was; and because the rows themselves
are written again, every query that asks for rows that stand sees one fish, without knowing of this.
"""

from collections.abc import Mapping
from typing import Any

from registry.errors import Objection, Refused
from registry.journal.write import Entry
from registry.models import Fish, FishDetails, Quarantine, Record, SameFish, Stay, Tag
from registry.operations.fish import replace_details
from registry.operations.identity.rewriting import Rewriting, links, rows_of_fish
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import CORRECT, Actor
from registry.queries.identity.numbers import between, entered
from registry.queries.known import Named
from registry.rules.days import Period
from registry.rules.identity.joining import (
    KEPT,
    OTHER,
    QUARANTINE,
    STAYS,
    Entered,
    Joining,
    cut,
    left_now,
    objections_to_joining,
    objections_to_words,
)
from registry.rules.known import Known, fold

# The columns of each fact, and those that say how the fish left.
COLUMNS = {
    "species": ("species_id", "confidence", "hybrid"),
    "stock": ("stock_id",),
    "sex": ("sex",),
    "origin": ("origin",),
    "caught": ("caught_on", "caught_precision", "caught_at"),
    "hatched": ("hatched_on", "hatched_precision"),
    "parents": ("parentage_id", "family_id", "from_batch_id"),
}
LEAVING = ("left", "left_on", "left_precision", "left_note", "left_permit", "left_abroad")


def join_numbers(by: Actor, entry: Joining, *, confirmed: bool = True) -> SameFish:
    """Let two numbers be one fish. Refused: lives, crosses or ancestry that contradict it, differences not chosen."""
    return JOINING.do(by, entry, confirmed=confirmed)


def details_of(number: str, known: Known) -> FishDetails | None:
    """Return the current details of the fish of that very number; None if there is none, or it proved to be another."""
    fish = known.find_fish(number)
    if fish is None or fold(fish.number) != fold(number):
        return None
    related = ("fish", "species", "stock", "family")
    return FishDetails.objects.current().filter(fish=fish.pk).select_related(*related).first()


def _judge(entry: Joining, known: Known) -> list[Objection]:
    kept, other = details_of(entry.kept, known), details_of(entry.other, known)
    if kept and other and kept.pk != other.pk:
        return objections_to_joining(entry, entered(kept), entered(other), between(kept, other))
    found = objections_to_words(entry)
    for name, row in ((KEPT, kept), (OTHER, other)):
        if row is None:
            found.append(_not_there(name, getattr(entry, name), known))
    return found


def _not_there(name: str, number: str, known: Known) -> Objection:
    fish = known.find_fish(number)
    if fish is None:
        return Objection("unknown_fish", name, f"There is no fish {number} in the register.", number)
    return Objection("proved_already", name, f"{number} was proved to be fish {fish.number} already.", number)


def _write(desk: Desk, entry: Joining) -> SameFish:
    kept, other = details_of(entry.kept, desk.known), details_of(entry.other, desk.known)
    if kept is None or other is None:
        raise Refused([_not_there(OTHER, entry.other, desk.known)])
    two = (entered(kept), entered(other))
    made = desk.entry("two numbers joined", f"fish {kept.fish.number}", entry.proved_on, reason=entry.reason)
    same = made.add(
        SameFish(
            kept=kept.fish,
            other=other.fish,
            proved_on=entry.proved_on,
            evidence=entry.evidence,
            probability=entry.probability,
        )
    )
    changes = _combined(entry, (kept, other), two)
    run = Rewriting(desk, made)
    for row in rows_of_fish(other.fish_id):
        run.want(row, _for(row, other.fish, kept.fish))
    _let_stays_give_way(run, entry, two, (kept.fish_id, other.fish_id))
    _let_quarantine_give_way(run, entry, two, (kept.fish_id, other.fish_id))
    _let_all_end(run, (kept, other), changes)
    run.run(odd=_between_the_two)
    _write_details(run, made, (kept, other), changes)
    return same


def _for(row: Record, other: Fish, kept: Fish) -> dict[str, Any]:
    return {
        column.attname: kept.pk
        for column in links(type(row))
        if column.related_model is Fish and getattr(row, column.attname) == other.pk
    }


def _between_the_two(was: Record, row: Record) -> bool:
    """A planned cross of a fish with itself, a code set aside between one fish: nothing is left of it."""
    return len(_named(row)) < len(_named(was))


def _named(row: Record) -> set[int | None]:
    return {getattr(row, column.attname) for column in links(type(row)) if column.related_model is Fish}


def _combined(entry: Joining, rows: tuple[FishDetails, FishDetails], two: tuple[Entered, Entered]) -> dict[str, Any]:
    """Return what changes in the kept fish's details: what only the other knew, what was chosen, how it left."""
    kept, other = rows
    taken: list[str] = []
    for name, columns in COLUMNS.items():
        theirs, ours = name in two[1].facts, name in two[0].facts
        if theirs and (not ours or entry.choices.get(name) == OTHER):
            taken += columns
    if left_now(*two) == OTHER:
        taken += LEAVING
    values = {name: getattr(other, name) for name in taken}
    values["release_id"] = kept.release_id or other.release_id
    values["tissue_sample"] = kept.tissue_sample or other.tissue_sample
    noted = f"{other.fish}: {other.notes}" if other.notes else ""
    notes = "\n".join(part for part in (kept.notes, noted) if part)
    values["notes"] = notes if len(notes) <= 4000 else kept.notes
    return {name: value for name, value in values.items() if value != getattr(kept, name)}


def _let_stays_give_way(run: Rewriting, entry: Joining, two: tuple[Entered, Entered], fish: tuple[int, int]) -> None:
    """Cut the stays that were on paper only, where both were said to be somewhere."""
    at = 0 if entry.choices.get(STAYS) == OTHER else 1
    standing = two[1 - at].stays
    for stay in Stay.objects.current().filter(fish=fish[at]).select_related("unit"):
        was = Period(stay.unit.name, stay.since, stay.until)
        left = cut(was, standing)
        if left != was:
            run.want(stay, {"fish_id": fish[0], "since": left.since, "until": left.until} if left else None)


def _let_quarantine_give_way(
    run: Rewriting, entry: Joining, two: tuple[Entered, Entered], fish: tuple[int, int]
) -> None:
    """Take back the quarantine that does not go on, where both are in one."""
    if two[0].quarantine and two[1].quarantine:
        at = 0 if entry.choices.get(QUARANTINE) == OTHER else 1
        run.want(Quarantine.objects.current().get(fish=fish[at], until=None), None)


def _let_all_end(run: Rewriting, rows: tuple[FishDetails, FishDetails], changes: dict[str, Any]) -> None:
    """End what is still open of a fish that, put together, is gone: its stay, and its tags unless it was released."""
    kept = rows[0]
    left, day = changes.get("left", kept.left), changes.get("left_on", kept.left_on)
    if not left or day is None:
        return
    fish = {"fish__in": [row.fish_id for row in rows]}
    ends: dict[Record, dict[str, Any]] = {
        stay: {"until": max(day, stay.since)} for stay in Stay.objects.current().filter(**fish, until=None)
    }
    if left != "released":
        for tag in Tag.objects.current().filter(**fish, ended_on=None):
            ends[tag] = {"ended_on": max(day, tag.attached_on), "end_reason": "fish left"}
    for row, end in ends.items():
        _, wanted = run.todo.get((type(row), row.pk), (row, {}))
        if wanted is not None:
            run.want(row, _ended(end, wanted))


def _ended(end: dict[str, Any], wanted: Mapping[str, Any]) -> dict[str, Any]:
    """Return what is wanted of a row with its open end filled, never before it begins."""
    both = end | {name: value for name, value in wanted.items() if value is not None or name not in end}
    if "until" in both and "since" in both:
        both["until"] = max(both["until"], both["since"])
    return both


def _write_details(run: Rewriting, made: Entry, rows: tuple[FishDetails, FishDetails], changes: dict[str, Any]) -> None:
    kept, other = rows
    made.withdraw(other)
    run.note(FishDetails, other.pk, None)
    if changes:
        later = replace_details(made, kept, **changes)
        run.desk.door.write_rows()
        run.note(FishDetails, kept.pk, later)


def _note(entry: Joining, known: Known) -> None:
    kept = known.find_fish(entry.kept)
    if kept:
        known.fish[fold(entry.other)] = kept


JOINING = Deed(CORRECT, lambda e: Named(fish={e.kept, e.other}), _judge, _note, _write)
