"""One list of what is due, and what several such lists ask: who lives, who is ripe."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet

from registry.models import Check, Cross, FishDetails, MaturityStage
from registry.queries.known import policy_days

MOST = 8


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to do or to look at; `page` and `number` say where it is done, `filled` what stands in its form."""

    text: str
    page: str
    number: str
    detail: str = ""
    filled: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A list of what is due; `clear` is said when nothing is. `more` tells that the list goes on at `page`,
    `hint` what to do with each line."""

    title: str
    clear: str
    dues: list[Due] = field(default_factory=list)
    more: bool = False
    page: str = ""
    hint: str = ""


def section(title: str, clear: str, rows: QuerySet, due: Callable[[Any], Due], page: str) -> Section:
    """Return the first rows as a list, and whether there are more."""
    found = list(rows[: MOST + 1])
    return Section(title, clear, [due(row) for row in found[:MOST]], len(found) > MOST, page)


def living(**where: Any) -> QuerySet:
    """Return the current details of fish that have not left."""
    return FishDetails.objects.current().filter(left="", **where)


def ripe(today: date) -> QuerySet:
    """Return the last check of every living fish that it found ripe, unless too long ago or stripped since."""
    later = Check.objects.current().filter(fish=OuterRef("fish")).exclude(stage="")
    after = Q(checked_on__gt=OuterRef("checked_on")) | Q(checked_on=OuterRef("checked_on"), pk__gt=OuterRef("pk"))
    stripped = Cross.objects.current().filter(dam=OuterRef("fish"), spawning__spawned_on__gte=OuterRef("checked_on"))
    return Check.objects.current().filter(
        Exists(living(fish=OuterRef("fish"))),
        ~Exists(later.filter(after)),
        ~Exists(stripped),
        stage__in=MaturityStage.objects.current().filter(ripe=True).values("key"),
        checked_on__gte=today - timedelta(days=policy_days("ripe_check_days", today)),
    )
