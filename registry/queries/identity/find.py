"""Whose code or number is this: one question from the field at the top of every page, a fixed number of queries."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from django.db.models import QuerySet, Value

from registry.models import Batch, CrossPlan, Document, Family, Fish, MiltLot, Permit, Recapture, Release, Spawning, Tag
from registry.queries.identity.on_page import open_asides
from registry.queries.identity.same import standing_number
from registry.rules.days import spoken
from registry.rules.reading import shown
from registry.rules.tags import TagCode, near_codes, read_code, suggestions, told

NUMBERED = {
    "fish": Fish,
    "batch": Batch,
    "family": Family,
    "spawning": Spawning,
    "release": Release,
    "recapture": Recapture,
    "plan": CrossPlan,
    "milt_lot": MiltLot,
    "permit": Permit,
    "document": Document,
}
LONGEST = 100
MOST_NEAR = 12
_LAST_FIGURES = re.compile(r"[0-9A-F]{4,9}")


@dataclass(frozen=True, slots=True)
class Hit:
    """One record found: its kind (also the name of its page), its number, why, and whether that holds now.

    `lost` says that the code was noted as lost: read again, it raises an alert.
    """

    kind: str
    number: str
    why: str = ""
    now: bool = True
    lost: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """What a search came to. `near` is filled only when nothing was hit; `reading` says why a text is no code.

    `told` is what the code says of itself, `meant` the codes that a text which is none may have been meant for.
    """

    looked_for: str
    hits: list[Hit] = field(default_factory=list)
    near: list[Hit] = field(default_factory=list)
    reading: str = ""
    is_code: bool = False
    told: str = ""
    meant: tuple[TagCode, ...] = ()


class _Borne(NamedTuple):
    """One code on one fish. Not a model: a scan waits for this, and whole rows take twice as long to ask for."""

    number: str
    code: str
    attached_on: date
    ended_on: date | None
    end_reason: str


class _AnyCode:
    """Holds every code: makes `near_codes` spell out all that differ by one figure."""

    def __contains__(self, _code: object) -> bool:
        return True


def find(text: str) -> Found:
    """Return every record that bears this code or number now; what is near when there is none.

    A code that is on a fish today hides nothing: fish that bore it earlier are hits too, the present one first.
    """
    looked_for = shown(" ".join(text.split())[:LONGEST])
    if not looked_for:
        return Found("")
    reading = read_code(looked_for)
    code = reading.value if not reading.refused else None
    hits = _tagged(code, looked_for) + _numbered(looked_for)
    of_code = {"is_code": code is not None, "told": told(code) if code else ""}
    if hits:
        return Found(looked_for, hits, **of_code)
    said = "" if code else " ".join(objection.message for objection in reading.objections)
    return Found(looked_for, [], _near(code, looked_for), said, **of_code, meant=tuple(suggestions(looked_for)))


def fish_meant(text: str) -> list[Hit]:
    """Return the fish that a form's field means: by register number, or by a tag it bears or bore."""
    wanted = " ".join(text.split())[:LONGEST]
    reading = read_code(wanted)
    numbered = Fish.objects.filter(number__in={wanted, wanted.upper()}).values_list("number", flat=True)
    by_number = [Hit("fish", standing_number(number)) for number in numbered]
    return by_number or _tagged(None if reading.refused else reading.value, wanted)


def _tagged(code: TagCode | None, text: str) -> list[Hit]:
    codes = {text, text.upper()} | ({code.code} if code else set())
    tags = _borne(Tag.objects.current().filter(code__in=codes).order_by("-attached_on", "-pk"))
    hits: dict[str, Hit] = {}
    for tag in sorted(tags, key=lambda tag: tag.ended_on is not None):
        lost = tag.end_reason == Tag.EndReason.LOST
        hits.setdefault(tag.number, Hit("fish", tag.number, _when(tag), tag.ended_on is None, lost))
    asides = open_asides().filter(code__in=codes)
    for number, holder, aside, read_on in asides.values_list("fish__number", "holder__number", "code", "read_on"):
        why = f"code {aside} was read on it on {spoken(read_on)} and set aside: fish {holder} bears it"
        hits.setdefault(number, Hit("fish", number, why))
    return list(hits.values())


def _borne(tags: QuerySet) -> list[_Borne]:
    """Return the codes with the fish that bear them."""
    rows = tags.values_list("fish__number", "code", "attached_on", "ended_on", "end_reason")
    return [_Borne(*row) for row in rows]


def _when(tag: _Borne) -> str:
    if tag.ended_on is None:
        return f"bears tag {tag.code} since {spoken(tag.attached_on)}"
    how = f" ({Tag.EndReason(tag.end_reason).label.lower()})" if tag.end_reason else ""
    return f"bore tag {tag.code} from {spoken(tag.attached_on)} until {spoken(tag.ended_on)}{how}"


def _numbered(text: str) -> list[Hit]:
    wanted = {text, text.upper(), text.lower()}
    rows = _of_each_kind(lambda records: records.filter(number__in=wanted))
    order = list(NUMBERED)
    found = dict.fromkeys(sorted(rows, key=lambda row: (order.index(row[0]), row[1])))
    return [_of_number(kind, number) for kind, number in found]


def _of_number(kind: str, number: str) -> Hit:
    stands = standing_number(number) if kind == "fish" else number
    return Hit(kind, number) if stands == number else Hit(kind, number, f"proved to be fish {stands}", now=False)


def _of_each_kind(chosen: Callable[[QuerySet], QuerySet]) -> QuerySet:
    """Ask every kind of record at once; rows of (kind, number)."""
    parts = []
    for kind, model in NUMBERED.items():
        records = model.objects.order_by().annotate(of_kind=Value(kind))
        parts.append(chosen(records).values_list("of_kind", "number"))
    return parts[0].union(*parts[1:], all=True)


def _near(code: TagCode | None, text: str) -> list[Hit]:
    near = _near_tags(code, text)
    rows = _of_each_kind(lambda records: records.filter(number__icontains=text))[:MOST_NEAR]
    return (near + [Hit(kind, number, "number is near") for kind, number in rows])[:MOST_NEAR]


def _near_tags(code: TagCode | None, text: str) -> list[Hit]:
    tags = Tag.objects.current().order_by("code", "attached_on")
    bare = re.sub(r"[\s.-]", "", text).upper()
    if code:
        slips = [near.code for near in near_codes(code, _AnyCode())]
        tags, why = tags.filter(code__in=slips), "one figure differs"
    elif _LAST_FIGURES.fullmatch(bare):
        tags, why = tags.filter(code__endswith=bare), f"ends in {bare}"
    else:
        return []
    return [Hit("fish", tag.number, f"{why}: {_when(tag)}") for tag in _borne(tags[:MOST_NEAR])]
