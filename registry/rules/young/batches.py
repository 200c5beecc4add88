"""What may be entered of a batch."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import Day
from registry.rules.fish import Admission
from registry.rules.known import Known, KnownBatch
from registry.rules.papers.permits import act_of_batch, objections_to_sending
from registry.rules.parents import objections_before_spawning
from registry.rules.texts import objections_to_texts
from registry.rules.young.ledger import objection_before_start, objections_to_count, objections_to_taking, unknown_batch
from registry.rules.young.units import (
    objections_to_day,
    objections_to_mixing,
    objections_to_unit,
    objections_to_unit_of,
)

TAKEN_AS = ("loss", "sample", "cull", "transfer")


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyShare:
    """One family of a new batch and its share of the fish."""

    family: str
    share: Decimal = Decimal(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchOpening:
    """Young of one or several families taken together into a holding unit."""

    number: str
    opened_on: date
    count: int
    families: tuple[FamilyShare, ...]
    unit: str = ""
    stage: str = ""
    method: str = ""
    uncertainty: int | None = None
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taking:
    """Fish taken out of a batch: lost, sampled, culled or transferred out."""

    batch: str
    moved_on: date
    count: int
    event: str = "loss"
    stage: str = ""
    permit: str = ""
    permit_reason: str = ""
    abroad: bool = False
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Census:
    """A batch counted or estimated anew."""

    batch: str
    moved_on: date
    counted: int
    method: str = ""
    uncertainty: int | None = None
    stage: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """Part of a batch becomes a new batch."""

    batch: str
    new_number: str
    moved_on: date
    count: int
    unit: str = ""
    stage: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Merge:
    """Fish of one batch go into another."""

    batch: str
    into: str
    moved_on: date
    count: int
    unit: str = ""
    stage: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Registration:
    """Fish taken out of a batch and registered one by one; they inherit its composition of that day."""

    batch: str
    moved_on: date
    fish: tuple[Admission, ...]
    notes: str = ""


def objections_to_opening(entry: BatchOpening, known: Known) -> list[Objection]:
    """Return what is in the way of opening this batch."""
    found = objections_to_texts(entry)
    found += objections_to_new_number(entry.number, "number", known)
    found += objections_to_day("opened_on", entry.opened_on, known.today)
    if entry.count <= 0:
        found.append(
            Objection(
                "negative",
                "count",
                f"{entry.count} fish cannot open a batch. Give how many there are.",
                str(entry.count),
            )
        )
    if not entry.families:
        found.append(Objection("unknown_family", "families", "No family was named. Say whose young these are."))
    found += [
        Objection("unknown_family", "families", f"There is no family {f.family} in the register.", f.family)
        for f in entry.families
        if known.find_family(f.family) is None
    ]
    found += [
        one
        for f in entry.families
        for one in objections_before_spawning(known.find_family(f.family), Day(entry.opened_on), "opened_on")
    ]
    if entry.families and sum((f.share for f in entry.families), Decimal(0)) != 1:
        found.append(Objection("probability", "families", "The shares of the families do not sum to 1. Correct them."))
    return found + objections_to_unit(entry.unit, known)


def objections_to_taking_out(entry: Taking, known: Known) -> list[Objection]:
    """Return what is in the way of taking these fish out."""
    found = objections_to_texts(entry) + objections_to_day("moved_on", entry.moved_on, known.today)
    if entry.event not in TAKEN_AS:
        text = f"“{entry.event}” is not one of {', '.join(TAKEN_AS)}. Choose one."
        found.append(Objection("bad_event", "event", text, entry.event))
    if entry.count == 0:
        found.append(Objection("missing_count", "count", "Nothing was counted. Give how many fish."))
    batch = known.find_batch(entry.batch)
    if batch is None:
        return [*found, unknown_batch(entry.batch)]
    sent = [act_of_batch("transfer", entry.moved_on, batch, entry.count, known)]
    found += objections_to_sending(entry, entry.event == "transfer", sent, known)
    if entry.event == "transfer" and batch.quarantined(entry.moved_on):
        text = f"Batch {batch.number} is in quarantine: it travels by the veterinarian's word and with its papers only."
        found.append(Objection("in_quarantine", "event", text, batch.number, warning=True))
    return found + objections_to_taking(batch, entry.moved_on, entry.count)


def objections_to_census(entry: Census, known: Known) -> list[Objection]:
    """Return what is in the way of this count; 0 is a legal count."""
    found = objections_to_texts(entry) + objections_to_day("moved_on", entry.moved_on, known.today)
    batch = known.find_batch(entry.batch)
    if batch is None:
        return [*found, unknown_batch(entry.batch)]
    return found + objections_to_count(batch, entry.moved_on, entry.counted)


def objections_to_split(entry: Split, known: Known) -> list[Objection]:
    """Return what is in the way of this split."""
    found = objections_to_texts(entry) + objections_to_day("moved_on", entry.moved_on, known.today)
    found += objections_to_new_number(entry.new_number, "new_number", known)
    found += objections_to_unit(entry.unit, known)
    if entry.count == 0:
        found.append(
            Objection("missing_count", "count", "Nothing was counted. Give how many fish go into the new batch.")
        )
    batch = known.find_batch(entry.batch)
    if batch is None:
        return [*found, unknown_batch(entry.batch)]
    found += objections_to_unit_of(batch, entry.unit, entry.moved_on, known)
    return found + objections_to_taking(batch, entry.moved_on, entry.count)


def objections_to_merge(entry: Merge, known: Known) -> list[Objection]:
    """Return what is in the way of this merge."""
    found = objections_to_texts(entry) + objections_to_day("moved_on", entry.moved_on, known.today)
    found += objections_to_unit(entry.unit, known)
    if entry.batch.casefold() == entry.into.casefold():
        found.append(
            Objection("same_batch", "into", "A batch cannot be merged into itself. Choose another.", entry.into)
        )
    batch, into = known.find_batch(entry.batch), known.find_batch(entry.into)
    if batch is None:
        found.append(unknown_batch(entry.batch))
    if into is None:
        found.append(unknown_batch(entry.into, "into"))
    if batch is None or into is None:
        return found
    if into.opened_on and entry.moved_on < into.opened_on:
        found.append(objection_before_start(into, entry.moved_on))
    found += objections_to_mixing(batch, into, entry.moved_on)
    found += objections_to_unit_of(into, entry.unit, entry.moved_on, known)
    if batch.stock and into.stock and batch.stock != into.stock:
        found.append(
            Objection(
                "wrong_stock",
                "into",
                f"{batch.number} is of stock {batch.stock}, {into.number} of {into.stock}. Stocks are not mixed.",
            )
        )
    return found + objections_to_taking(batch, entry.moved_on, entry.count)


def objections_to_new_number(number: str, field: str, known: Known) -> list[Objection]:
    """Return why a new batch cannot bear this number."""
    if not number:
        return [Objection("missing_id", field, "The batch number is missing. Every batch needs one.")]
    held: KnownBatch | None = known.find_batch(number)
    if held is None:
        return []
    return [Objection("duplicate_id", field, f"Number {number} is already another batch. Take another.", number)]
