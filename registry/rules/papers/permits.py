"""Whether a permit covers what is done under it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Protocol

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.known import Known, KnownBatch, KnownFish
from registry.rules.papers.acts import Act, Allowance, KnownPermit, used_of

# Scientific names by the catalogue's keys.
Names = Mapping[str, str]
SPOKEN = {
    "capture": "the capture", "holding": "the holding", "transfer": "the transfer out", "release": "the release",
    "trade": "the sending across a border",
}  # fmt: skip
UNITS = {"": "fish", "milt": "doses of milt", "sample": "samples"}
WAY_OUT = "Take the permit that covers it, correct the entry, or have a manager enter it and say why it stands."


def objections_to_permit(
    number: str, acts: Sequence[Act], known: Known, field: str = "permit", why: str = ""
) -> list[Objection]:
    """Return why a permit does not cover these acts, all of one entry.

    What it does not cover is refused; with a reason (`why`) from someone who may let it stand, it is a warning.
    An unknown number is a warning where permits are kept at all: old papers need not be in the register.
    """
    if not number:
        return []
    permit = known.find_permit(number)
    if permit is None:
        text = f"Permit {number} is not among the permits of the register. Check the number, or enter the permit there."
        unlisted = Objection("unlisted_permit", field, text, number, warning=True)
        return [unlisted] if known.keeps_permits else []
    names = names_in(known)
    found = _objections_to_days(permit, acts) + _objections_to_kinds(permit, acts, names)
    found += _objections_to_use(permit, acts, names)
    found = [replace(one, field=field) for one in found]
    if found and why and known.may_overrule:
        found = [replace(one, warning=True) for one in found]
    elif found and why:
        text = "Only a manager lets an entry stand against its permit. Take the reason out, or ask a manager."
        found.append(Objection("not_allowed", field, text))
    else:
        found = [replace(one, message=f"{one.message} {WAY_OUT}") for one in found]
    told = (
        _warnings_of_place(permit, acts) + _warnings_of_holding(permit, acts, names) + _warnings_of_border(permit, acts)
    )
    return found + [replace(one, field=field) for one in told]


class Sending(Protocol):
    """An entry by which fish may leave for another hatchery under a permit."""

    @property
    def permit(self) -> str: ...

    @property
    def permit_reason(self) -> str: ...

    @property
    def abroad(self) -> bool: ...


def as_sent(entry: Sending, acts: Iterable[Act]) -> list[Act]:
    """Return the acts of an entry with where they went: across a border, or not."""
    return [replace(act, abroad=entry.abroad) for act in acts]


def objections_to_sending(entry: Sending, sent: bool, acts: Sequence[Act], known: Known) -> list[Objection]:
    """Return what is wrong with the permit of an entry that sends fish away, or that does not and names one."""
    if sent and not entry.permit:
        text = "No permit number was given. Moving protected fish usually needs one; ask the authority under local law."
        return [Objection("no_permit", "permit", text, warning=True)]
    if (entry.permit or entry.abroad) and not sent:
        name = "permit" if entry.permit else "abroad"
        text = "A permit or a border is named only for what is sent elsewhere. Take it out, or choose that it was sent."
        return [Objection("permit_unasked", name, text, entry.permit)]
    return objections_to_permit(entry.permit, as_sent(entry, acts), known, why=entry.permit_reason)


def _objections_to_days(permit: KnownPermit, acts: Sequence[Act]) -> list[Objection]:
    found = []
    for day in sorted({act.day for act in acts}):
        if day < permit.valid_from:
            text = f"Permit {permit.number} holds from {spoken(permit.valid_from)} on, after {spoken(day)}."
            found.append(Objection("permit_not_yet", "", text, permit.number))
        elif permit.valid_until and day > permit.valid_until:
            text = f"Permit {permit.number} ended on {spoken(permit.valid_until)}, before {spoken(day)}."
            found.append(Objection("permit_ended", "", text, permit.number))
    return found


def _objections_to_kinds(permit: KnownPermit, acts: Sequence[Act], names: Names) -> list[Objection]:
    outside = dict.fromkeys((act.kind, act.specimen, act.species, act.stock) for act in acts if not permit.covers(act))
    found = []
    for kind, specimen, species, stock in outside:
        of = f"{UNITS[specimen]} of " if specimen else ""
        text = f"Permit {permit.number} does not cover {SPOKEN[kind]} of {of}{named(species, stock, names)}."
        if kind == "transfer" and any(line.act == "trade" for line in permit.allowances):
            text += " It has a line for sending across a border: say so if it went across one."
        found.append(Objection("not_permitted", "", text, permit.number))
    return found


def _objections_to_use(permit: KnownPermit, acts: Sequence[Act], names: Names) -> list[Objection]:
    found = []
    for line in permit.allowances:
        more = used_of(line, acts)
        left = (line.most or 0) - permit.used(line)
        if line.most is not None and more > left:
            words = in_words(line, names) + (f"; {whole(max(left, 0))} are left" if left != 1 else "; 1 is left")
            text = f"Permit {permit.number} allows {words}, and this would take {whole(more)}."
            found.append(Objection("permit_exceeded", "", text, permit.number))
    return found


def _warnings_of_place(permit: KnownPermit, acts: Sequence[Act]) -> list[Objection]:
    listed = {place.casefold() for place in permit.places}
    elsewhere = dict.fromkeys(act.place for act in acts if listed and act.place and act.place.casefold() not in listed)
    text = f"Permit {permit.number} names other places: {'; '.join(permit.places)}."
    return [
        Objection("permit_place", "", f"{text} Check whether “{place}” is one of them.", permit.number, warning=True)
        for place in elsewhere
    ]


def _warnings_of_border(permit: KnownPermit, acts: Sequence[Act]) -> list[Objection]:
    """Warn of a border that the permit says nothing of: leaving the country is allowed by a paper of its own."""
    lines = [line for line in permit.allowances if line.act == "trade"]
    if not any(act.abroad and not any(line.covers(act) for line in lines) for act in acts):
        return []
    text = f"Permit {permit.number} has no line for sending this across a border. Ask the authority for that paper."
    return [Objection("permit_border", "", text, permit.number, warning=True)]


def _warnings_of_holding(permit: KnownPermit, acts: Sequence[Act], names: Names) -> list[Objection]:
    """Warn of more fish in the hatchery than a permit lets it hold: they are in hand already."""
    caught = [replace(act, kind="holding") for act in acts if act.kind == "capture"]
    found = []
    for line in permit.allowances:
        held = permit.used(line) + used_of(line, caught)
        if line.act == "holding" and line.most is not None and used_of(line, caught) and held > line.most:
            text = f"Permit {permit.number} allows {in_words(line, names)}; with this, {whole(held)} are held."
            found.append(Objection("permit_holding", "", text, permit.number, warning=True))
    return found


def named(species: str, stock: str, names: Names) -> str:
    """Return what fish are meant: the stock where one is named, else the species, else any."""
    return f"stock {stock}" if stock else names.get(species, species) if species else "fish of unknown species"


def in_words(line: Allowance, names: Names) -> str:
    """Return what a line allows: "the release of 2 000 fish of stock Upper Isendre"."""
    of = f" of {named(line.species, line.stock, names)}" if line.species or line.stock else ""
    unit = UNITS[line.specimen]
    count = f"any number of {unit}" if line.most is None else f"{whole(line.most)} {unit}"
    return f"{SPOKEN[line.act]} of {count}{of}"


def names_in(known: Known) -> Names:
    """Return the scientific names of the catalogue."""
    return {key: species.name for key, species in known.species.items()}


def whole(count: int) -> str:
    """Return a count in groups of three, as pages show it."""
    return f"{count:,}".replace(",", "\N{NARROW NO-BREAK SPACE}")


def act_of_batch(kind: str, day: date, batch: KnownBatch, count: int, known: Known) -> Act:
    """Return so many fish out of a batch as an act; their species is that of the batch's stock."""
    return Act(kind, day, known.stocks.get(batch.stock, ""), batch.stock, count)


def act_of_fish(kind: str, day: date, fish: KnownFish) -> Act:
    """Return one registered fish as an act."""
    return Act(kind, day, fish.species, fish.stock, 1)
