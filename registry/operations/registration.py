"""Fish tagged out of a batch: they inherit the batch's composition of that day as their parentage."""

from collections import Counter
from dataclasses import replace
from datetime import date

from registry.errors import Objection
from registry.models import Fish, Parentage
from registry.operations.fish import named_by_admission, parentage_of, write_fish
from registry.operations.shared.care import pass_care_on
from registry.operations.shared.desk import Deed, Desk
from registry.operations.shared.ledger import Event, Kind, account, move, note_change
from registry.permissions import ENTER, Actor
from registry.queries.composition import family_shares, pairs_of_families
from registry.queries.known import Named, learn
from registry.rules.days import Day, spoken
from registry.rules.fish import objections_to_admission
from registry.rules.known import Known, KnownBatch
from registry.rules.texts import objections_to_texts
from registry.rules.young.batches import Registration
from registry.rules.young.ledger import UNKNOWN_FAMILY, objections_to_taking, unknown_batch
from registry.rules.young.units import objections_to_unit_of


def register_individuals(by: Actor, entry: Registration, *, confirmed: bool = True) -> list[Fish]:
    """Register fish of a batch one by one, with number, tag and sex. Refused: more than it holds, numbers in use."""
    return REGISTRATION.do(by, entry, confirmed=confirmed)


def objections_to_registration(entry: Registration, known: Known) -> list[Objection]:
    """Return what is in the way of registering these fish."""
    found = objections_to_texts(entry)
    if entry.moved_on > known.today:
        found.append(
            Objection("future_date", "moved_on", f"{spoken(entry.moved_on)} lies in the future. Correct the day.")
        )
    if not entry.fish:
        found.append(Objection("missing_count", "fish", "No fish were entered. Give at least one number."))
    batch = known.find_batch(entry.batch)
    if batch is None:
        return [*found, unknown_batch(entry.batch)]
    found += objections_to_taking(batch, entry.moved_on, len(entry.fish), "fish")
    for attribute, what in (("number", "Number"), ("tag", "Tag")):
        values = Counter(getattr(f, attribute) for f in entry.fish if getattr(f, attribute))
        for value, times in values.items():
            if times > 1:
                shown = getattr(value, "code", value)
                found.append(
                    Objection("duplicate_id", attribute, f"{what} {shown} is given to {times} fish.", str(shown))
                )
    for fish in entry.fish:
        found += objections_to_admission(fish, known) + objections_to_unit_of(batch, fish.unit, entry.moved_on, known)
    return found


def write_registration(desk: Desk, entry: Registration) -> list[Fish]:
    """Write a judged registration."""
    batch = desk.batch(entry.batch)
    desk.door.write_rows()
    shares = family_shares(batch, entry.moved_on)
    pairs = pairs_of_families(shares)
    learn(desk.known, Named(fish={n for p in pairs for n in (p.dam, p.sire) if n}, families=set(shares)))
    single = next(iter(shares)) if len(shares) == 1 else UNKNOWN_FAMILY
    known_batch = desk.known.find_batch(entry.batch)
    stock = known_batch.stock
    made = desk.entry("fish registered from batch", f"batch {batch.number}", entry.moved_on)
    basis = Parentage.Basis.RECORDED if single else Parentage.Basis.MIXED
    parentage = parentage_of(desk, made, pairs, basis) if not single else None
    fish = []
    for one in entry.fish:
        whole = replace(
            one,
            origin="hatchery",
            stock=one.stock or stock,
            species=one.species or desk.known.stocks.get(stock, ""),
            family=single,
            tagged_on=one.tagged_on or entry.moved_on,
            hatched=one.hatched or _hatched(desk, entry.batch),
        )
        fish.append(write_fish(desk, made, whole, from_batch=batch, parentage=parentage))
        pass_care_on(desk, made, known_batch, entry.moved_on, fish=fish[-1])
        _note_care(desk.known, one.number, known_batch, entry.moved_on)
    ends = (account(desk, made, Kind.BATCH, batch), account(desk, made, Kind.REGISTERED))
    move(desk, made, Event.REGISTER, ends, len(fish), moved_on=entry.moved_on, notes=entry.notes)
    _note(entry, desk.known)
    return fish


def _note_care(known: Known, number: str, batch: KnownBatch, day: date) -> None:
    fish = known.find_fish(number)
    if fish:
        fish.quarantines, fish.waits = batch.held_on(day)


def _hatched(desk: Desk, number: str) -> Day | None:
    opened: date | None = desk.known.find_batch(number).opened_on
    return Day(date(opened.year, 1, 1), "year") if opened else None


def _named(entry: Registration) -> Named:
    named = Named(batches={entry.batch}, near=any(f.tag for f in entry.fish))
    for fish in entry.fish:
        more: Named = named_by_admission(fish)
        named.fish |= more.fish
        named.families |= more.families
        named.codes |= more.codes
    return named


def _note(entry: Registration, known: Known) -> None:
    note_change(known.find_batch(entry.batch), entry.moved_on, Event.REGISTER, -len(entry.fish))


REGISTRATION = Deed(ENTER, _named, objections_to_registration, _note, write_registration)
