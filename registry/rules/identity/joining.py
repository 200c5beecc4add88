"""Two register numbers that prove to be one fish: what speaks against it, and what must be chosen before."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import Day, Period, spoken, surely_before
from registry.rules.identity.evidence import objections_to_evidence
from registry.rules.known import KnownFish, fold
from registry.rules.parents import Part
from registry.rules.texts import objections_to_texts

KEPT, OTHER = "kept", "other"
STAYS, QUARANTINE = "stays", "quarantine"
# What is known of a fish once, and differs where the two entries differ: name, and what it is called.
FACTS = {
    "species": "species", "stock": "stock", "sex": "sex", "origin": "origin", "caught": "capture",
    "hatched": "hatching", "parents": "parents",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Joining:
    """Two numbers of one fish.

    `choices` says for a fact that differs, or for `stays` or `quarantine`, whose holds: kept or other.
    """

    kept: str
    other: str
    proved_on: date
    evidence: str
    probability: Decimal | None = None
    reason: str
    choices: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """Two numbers that were joined and are two fish after all."""

    other: str
    reason: str


@dataclass(frozen=True, slots=True)
class Entered:
    """One of the two entries: the fish, when it was surely in hand alive, where it stayed, its crosses, its facts.

    `quarantine` is the one that it is in now.
    `facts` holds what is known, in words, by the names of FACTS; what is not known is left out.
    """

    fish: KnownFish
    seen: tuple[tuple[date, str], ...] = ()
    stays: tuple[Period, ...] = ()
    parts: tuple[Part, ...] = ()
    facts: Mapping[str, str] = field(default_factory=dict)
    quarantine: Period | None = None


@dataclass(frozen=True, slots=True)
class Between:
    """What the register holds of the two together: families of both, plans that pair them, ancestry, held apart."""

    families: tuple[str, ...] = ()
    plans: tuple[str, ...] = ()
    ancestor: str = ""
    held_apart: tuple[str, ...] = ()


def objections_to_joining(entry: Joining, kept: Entered, other: Entered, between: Between) -> list[Objection]:
    """Return why the two cannot be one fish, what must be chosen first, and warnings."""
    found = objections_to_words(entry)
    one, two = kept.fish, other.fish
    found += _objections_to_family(one, two, between)
    for gone, there in ((kept, other), (other, kept)):
        found += _objections_to_days(gone, there)
    found += _objections_to_roles(kept, other)
    found += _objections_to_choices(entry, kept, other)
    if one.left == two.left == "died" and one.left_on and two.left_on and _apart(one.left_on, two.left_on):
        text = f"{one.number} died {one.left_on} and {two.number} died {two.left_on}. Correct one of the days first."
        found.append(Objection("two_deaths", OTHER, text))
    return found


def objections_to_words(entry: Joining) -> list[Objection]:
    """Return what is wrong with the entry by itself."""
    found = objections_to_texts(entry)
    if fold(entry.kept) == fold(entry.other):
        text = f"Fish {entry.kept} is named twice. Name the two numbers that are one fish."
        found.append(Objection("same_number", OTHER, text, entry.other))
    if not entry.reason.strip():
        text = "Say what proves it: the reason stands in the journal beside the change."
        found.append(Objection("no_reason", "reason", text))
    return found + [
        o.on("evidence") if o.field == "known_by" else o
        for o in objections_to_evidence(entry.evidence, entry.probability, needed=True)
    ]


def _apart(one: Day, other: Day) -> bool:
    return surely_before(one, other) or surely_before(other, one)


def _objections_to_family(one: KnownFish, two: KnownFish, between: Between) -> Iterable[Objection]:
    for family in between.families:
        text = f"{one.number} and {two.number} are both parents of {family}. One fish cannot be: correct that first."
        yield Objection("both_parents", OTHER, text, family)
    if between.ancestor:
        young = two.number if fold(between.ancestor) == fold(one.number) else one.number
        text = f"{between.ancestor} is an ancestor of {young}. One fish is not its own ancestor: correct the parents."
        yield Objection("cycle", OTHER, text, between.ancestor)
    for plan in between.plans:
        text = f"Plan {plan} pairs the two; that cross falls out of it."
        yield Objection("planned_together", OTHER, text, plan, warning=True)
    for said in between.held_apart:
        yield Objection("held_apart", OTHER, f"They were held to be two fish before: {said}.", warning=True)


def _objections_to_days(one: Entered, two: Entered) -> list[Objection]:
    """Return what the days of one say against the other: gone while the other was there, born after it was there."""
    found = []
    fish, there = one.fish, two.fish
    first = min(two.seen, default=None)
    if fish.hatched and first and fish.hatched.first > first[0]:
        text = f"{fish.number} hatched {fish.hatched}, and {there.number} was {first[1]} on {spoken(first[0])}."
        found.append(Objection("before_hatch", OTHER, f"{text} Correct one of the days first."))
    if not fish.left_on:
        return found
    gone = f"{fish.number} {fish.left} {fish.left_on}"
    later = [(day, what) for day, what in two.seen if day > fish.left_on.last]
    if fish.left == "died" and later:
        day, what = later[0]
        text = f"{gone}, and {there.number} was {what} on {spoken(day)}. Correct one of the two first."
        found.append(Objection("after_death", OTHER, text))
    elif fish.left in ("died", "released", "transferred"):
        through = [s for s in two.stays if s.since < fish.left_on.first and (s.until or date.max) > fish.left_on.last]
        if through and later:
            text = f"{gone}, while {there.number} stayed in {through[0].place}. Correct one of the two first."
            found.append(Objection("two_places", OTHER, text))
    return found


def _objections_to_roles(kept: Entered, other: Entered) -> list[Objection]:
    roles = {part.role: (entered.fish.number, part.what) for entered in (kept, other) for part in entered.parts}
    if len({number for number, _ in roles.values()}) < 2 or len(roles) < 2:
        return []
    said = " and ".join(f"{number} is the {role} of {what}" for role, (number, what) in sorted(roles.items()))
    return [Objection("wrong_sex", OTHER, f"{said}. One fish is not both: correct the parents of one family first.")]


def _objections_to_choices(entry: Joining, kept: Entered, other: Entered) -> list[Objection]:
    found = []
    for name in differing(kept, other):
        if entry.choices.get(name) not in (KEPT, OTHER):
            text = (
                f"{kept.fish.number} and {other.fish.number} differ in {FACTS[name]}: "
                f"{kept.facts[name]}, or {other.facts[name]}. Choose which holds."
            )
            found.append(Objection("choose", name, text))
    if overlapping(kept.stays, other.stays) and entry.choices.get(STAYS) not in (KEPT, OTHER):
        one, two = overlapping(kept.stays, other.stays)[0]
        since = max(one.since, two.since)
        text = (
            f"From {spoken(since)} on {kept.fish.number} was in {one.place} and {other.fish.number} in {two.place}. "
            "Choose whose place it really was in."
        )
        found.append(Objection("choose", STAYS, text))
    if kept.quarantine and other.quarantine and entry.choices.get(QUARANTINE) not in (KEPT, OTHER):
        text = (
            f"Both are in quarantine: {held_in(kept)}, and {held_in(other)}. Choose which goes on until the "
            "veterinarian ends it; the other is taken back."
        )
        found.append(Objection("choose", QUARANTINE, text))
    return found


def held_in(one: Entered) -> str:
    """Return the quarantine that a fish is in, in words: "M1 since 3 May 2026, begun in Tank 1"."""
    held = one.quarantine
    return f"{one.fish.number} since {spoken(held.since)}, begun in {held.place}" if held else ""


def differing(kept: Entered, other: Entered) -> list[str]:
    """Return the facts that are known of both and differ."""
    return [
        name for name in FACTS if name in kept.facts and name in other.facts and kept.facts[name] != other.facts[name]
    ]


def overlapping(stays: Iterable[Period], others: Iterable[Period]) -> list[tuple[Period, Period]]:
    """Return the stays of both that share a day and are in two places."""
    others = list(others)
    return [(one, two) for one in stays for two in others if one.meets(two) and one.place != two.place]


def cut(stay: Period, standing: Iterable[Period]) -> Period | None:
    """Return what is left of a stay that gives way to others; None for nothing.

    One that goes on after all of them ended is where the fish is now, and begins then; else it ends as they began.
    """
    met = [other for other in standing if stay.meets(other)]
    if not met:
        return stay
    begun, ends = min(other.since for other in met), [other.until for other in met if other.until]
    if stay.until is None and len(ends) == len(met):
        return Period(stay.place, max(ends))
    return Period(stay.place, stay.since, begun) if begun > stay.since else None


def left_now(kept: Entered, other: Entered) -> str:
    """Return whose leaving holds, KEPT or OTHER: of the one that left last, unless the other was seen after that."""
    one, two = kept.fish, other.fish
    if one.left and two.left:
        return OTHER if (two.left_on or _EVER).first > (one.left_on or _EVER).first else KEPT
    if not one.left and not two.left:
        return KEPT
    gone, there, whose = (kept, other, KEPT) if one.left else (other, kept, OTHER)
    last = gone.fish.left_on.last if gone.fish.left_on else date.min
    seen_after = any(day > last for day, _ in there.seen)
    return (OTHER if whose == KEPT else KEPT) if seen_after else whose


_EVER = Day(date.min)
