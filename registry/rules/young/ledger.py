"""Counts of a batch in order of happening: never below zero, and a count that was made stands."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.known import KnownBatch, Movement

PLACES = Decimal("1e-12")
UNKNOWN_FAMILY = ""


@dataclass(frozen=True, slots=True)
class Flow:
    """Fish moved between two accounts, each named (kind, number) such as ("batch", "B1") or ("family", "06-01")."""

    source: tuple[str, str]
    target: tuple[str, str]
    count: int


def next_census(batch: KnownBatch, day: date, after: int | None = None) -> Movement | None:
    """Return the first count made after `day`, which fixes the balance again.

    `after` is the order of a movement of that day: counts of the same day that were entered after it come first.
    """
    since = (day, float("inf") if after is None else after)
    later = [m for m in batch.movements if m.counted is not None and (m.moved_on, m.order) > since]
    return min(later, key=lambda m: (m.moved_on, m.order), default=None)


def lowest_balance(batch: KnownBatch, day: date, change: int, after: int | None = None) -> int:
    """Return the lowest balance that a change on `day` leads to, from that day to the next count; see there."""
    census = next_census(batch, day, after)
    if census and census.moved_on == day:
        before = (m.change for m in batch.movements if (m.moved_on, m.order) < (day, census.order))
        return sum(before) + change
    balance = batch.balance(day) + change
    lowest = balance
    for movement in sorted(batch.movements, key=lambda m: (m.moved_on, m.order)):
        if movement.moved_on <= day:
            continue
        if census and (movement.moved_on, movement.order) >= (census.moved_on, census.order):
            break
        balance += movement.change
        lowest = min(lowest, balance)
    return lowest


def objections_to_taking(
    batch: KnownBatch, day: date, count: int, field: str = "count", after: int | None = None
) -> list[Objection]:
    """Return why `count` fish cannot be taken out of the batch on `day`; `after` as for `next_census`."""
    if count < 0:
        return [
            Objection("negative", field, f"{count} is below zero. Give how many fish, as a whole number.", str(count))
        ]
    if batch.opened_on and day < batch.opened_on:
        return [objection_before_start(batch, day)]
    short = -lowest_balance(batch, day, -count, after)
    if short <= 0:
        return []
    held = batch.balance(day)
    if held < count:
        text = f"Batch {batch.number} holds {held} fish on {spoken(day)}, not {count}. Count it, or correct the number."
    else:
        text = (
            f"Taking {count} out of batch {batch.number} on {spoken(day)} leaves {short} too few for later entries. "
            "Correct the number or the later entry."
        )
    return [Objection("over_balance", field, text, str(count))]


def objections_to_count(batch: KnownBatch, day: date, counted: int) -> list[Objection]:
    """Return why the batch cannot have held just `counted` fish at the end of `day`."""
    if counted < 0:
        return [Objection("negative", "counted", f"{counted} is below zero. Count again.", str(counted))]
    if batch.opened_on and day < batch.opened_on:
        return [objection_before_start(batch, day)]
    short = -lowest_balance(batch, day, counted - batch.balance(day))
    if short <= 0:
        return []
    text = (
        f"A count of {counted} on {spoken(day)} leaves {short} too few for later entries. "
        "Correct the count or the later entry."
    )
    return [Objection("over_balance", "counted", text, str(counted))]


def objection_before_start(batch: KnownBatch, day: date) -> Objection:
    """Return the objection that the batch did not yet exist."""
    return Objection(
        "before_start",
        "moved_on",
        f"Batch {batch.number} was opened on {spoken(batch.opened_on or day)}, after {spoken(day)}. Correct the day.",
        str(day),
    )


def unknown_batch(number: str, field: str = "batch") -> Objection:
    """Return the objection that there is no such batch."""
    return Objection(
        "unknown_batch", field, f"There is no batch {number or '(empty)'} in the register. Open it first.", number
    )


def composition(flows: Iterable[Flow], batch: str) -> dict[str, Decimal]:
    """Return the family shares of one batch after `flows`; see `compositions`."""
    return compositions(flows).get(batch, {})


def compositions(flows: Iterable[Flow]) -> dict[str, dict[str, Decimal]]:
    """Return the family shares of every batch after `flows`, given in order of happening; each sums to 1.

    Merging adds the families of both; splitting, losses and corrections keep the proportions. Fish that came from
    no family of the register stand under UNKNOWN_FAMILY. A batch that is empty keeps the shares it last had.
    """
    content: dict[str, dict[str, Decimal]] = {}
    for flow in flows:
        _apply(flow, content)
    return {batch: rounded_shares(held) for batch, held in content.items()}


def _apply(flow: Flow, content: dict[str, dict[str, Decimal]]) -> None:
    arriving: Mapping[str, Decimal] = {}
    kind, number = flow.source
    if kind == "batch":
        held = content.setdefault(number, {})
        arriving = {family: part * flow.count for family, part in _parts(held).items()}
        _scale(held, -flow.count)
    elif kind == "family":
        arriving = {number: Decimal(flow.count)}
    elif kind != "correction":
        arriving = {UNKNOWN_FAMILY: Decimal(flow.count)}
    kind, number = flow.target
    if kind != "batch":
        return
    held = content.setdefault(number, {})
    if not arriving:
        _scale(held, flow.count)
        return
    if _total(held) <= 0:
        held.clear()
    for family, count in arriving.items():
        held[family] = held.get(family, Decimal(0)) + count


# An empty batch still remembers whose young it held: counts are kept as this trace of the proportions.
TRACE = Decimal("1e-9")


def _total(held: Mapping[str, Decimal]) -> Decimal:
    total = sum(held.values(), Decimal(0))
    return total if total > TRACE * 10 else Decimal(0)


def _parts(held: Mapping[str, Decimal]) -> dict[str, Decimal]:
    total = sum(held.values(), Decimal(0))
    return {family: count / total for family, count in held.items()} if total else {UNKNOWN_FAMILY: Decimal(1)}


def _scale(held: dict[str, Decimal], change: int) -> None:
    parts = _parts(held)
    total = max(_total(held) + change, TRACE)
    held.update({family: part * total for family, part in parts.items()})


def rounded_shares(counts: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """Return shares at twelve places that sum to exactly 1; the largest takes the remainder."""
    parts = {family: part.quantize(PLACES) for family, part in _parts(counts).items()} if counts else {}
    parts = {family: part for family, part in parts.items() if part > 0}
    if parts:
        largest = max(parts, key=lambda family: (parts[family], family))
        parts[largest] += 1 - sum(parts.values())
    return parts


def whole_parts(count: int, shares: Sequence[Decimal]) -> list[int]:
    """Divide `count` fish by shares into whole numbers that sum to it (largest remainder)."""
    exact = [count * share for share in shares]
    parts = [int(part) for part in exact]
    by_remainder = sorted(range(len(parts)), key=lambda i: (parts[i] - exact[i], i))
    for i in by_remainder[: count - sum(parts)]:
        parts[i] += 1
    return parts
