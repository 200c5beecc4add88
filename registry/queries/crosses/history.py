"""The history of a plan and its amendments in words: every journal entry of them, with what it changed."""

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from registry.models import CrossPlan, Fish, JournalEntry
from registry.queries.crosses.states import chain_of
from registry.rules.crossing.limits import BY_KEY
from registry.rules.crossing.wishes import SCHEMES

Names = dict[int, str]
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Step:
    """One entry: of which plan, and in words what it put in, changed or took away."""

    entry: JournalEntry
    plan: str
    changes: tuple[str, ...]


def history_of(plan: CrossPlan) -> list[Step]:
    """Return every entry about a plan and the amendments of it, the latest first. Two statements, whatever it holds."""
    subjects = {f"plan {one.number}": one.number for one in chain_of(plan)}
    entries = list(JournalEntry.objects.filter(subject__in=subjects).order_by("-seq"))
    rows = {entry.seq: json.loads(entry.body)["rows"] for entry in entries}
    names = _names(row["after"] for listed in rows.values() for row in listed)
    return [Step(entry, subjects[entry.subject], tuple(_told(rows[entry.seq], names))) for entry in entries]


def _names(rows: Iterable[Row]) -> Names:
    keys = {row[column] for row in rows for column in ("dam_id", "sire_id", "fish_id") if row.get(column)}
    return dict(Fish.objects.filter(pk__in=keys).values_list("pk", "number"))


def _told(rows: Iterable[Row], names: Names) -> Iterable[str]:
    for row in rows:
        say = WORDS.get(row["kind"])
        taken = row["after"].get("withdrawn_id") is not None
        if say is None or (taken and row["kind"] not in TAKEN_OUT):
            continue
        words = say(row["after"], names)
        yield f"{words} {TAKEN_OUT[row['kind']]}" if taken else words


def _pair(row: Row, names: Names) -> str:
    return f"{names.get(row['dam_id'], '?')} × {names.get(row['sire_id'], '?')}"


def _terms(row: Row, _names: Names) -> str:
    mates = f" with {row['mates']} mates a fish" if row.get("mates") else ""
    scheme = SCHEMES[row["scheme"]].name if row["scheme"] in SCHEMES else row["scheme"]
    living = "judged with the living stock" if row.get("count_living") else "judged by themselves"
    made = "families made count" if row.get("count_made") else "families made do not count"
    return f"{row['crosses']} crosses, scheme {scheme}{mates}, price {_figure(row['price'])}, {living}, {made}"


def _limit(row: Row, _names: Names) -> str:
    limit = BY_KEY.get(row["key"])
    name, unit = (limit.name, limit.unit) if limit else (row["key"], "")
    return f"{name}: {_figure(row['value'])} {unit}".rstrip() if "value" in row else f"{name}: lifted"


def _fish(row: Row, names: Names) -> str:
    most = f" to {row['most']} crosses" if row.get("most") else ""
    return f"{names.get(row['fish_id'], '?')}: {row['stand']}{most}"


def _answer(row: Row, _names: Names) -> str:
    proof = ", proven best" if row.get("proven") else ""
    diversity = 1 - Decimal(row["group_coancestry"])
    return f"gene diversity of the young {diversity:.4f}, mean inbreeding {Decimal(row['mean_inbreeding']):.4f}{proof}"


def _figure(text: str) -> str:
    return f"{Decimal(text).normalize():f}"


WORDS: dict[str, Callable[[Row, Names], str]] = {
    "plannedcross": _pair,
    "planterms": _terms,
    "planlimit": _limit,
    "planfish": _fish,
    "planpair": lambda row, names: f"{_pair(row, names)}: {row['stand']}",
    "plananswer": _answer,
    "plansignature": lambda row, _names: f"“{row['statement']}”",
}
# What is said of rows that were taken back; others give way to the row that takes their place.
TAKEN_OUT = {"plannedcross": "taken out", "planlimit": "no longer", "planfish": "no longer", "planpair": "no longer"}
