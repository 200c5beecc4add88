"""Constraints of quarantines and treatments: rows that are taken, and rows that are refused beside them."""

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace
from typing import Any

from registry import models as kept
from tests.support.world import DAY

EARLIER = DAY.replace(year=2020)


def kept_apart(w: SimpleNamespace, **more: object) -> kept.Quarantine:
    return kept.Quarantine(unit=w.unit, **{"since": DAY, "fish": w.dam} | more)


def treated(w: SimpleNamespace, until: date | None, **more: object) -> kept.Treatment:
    how = {"fish": w.dam, "given_on": DAY, "product": "p", "amount": "a", "prescriber": "v"} | more
    return kept.Treatment(withdrawal_until=until, **how)


CARE_CASES: dict[str, Callable[[SimpleNamespace], Any]] = {
    "fish_in_one_quarantine": lambda w: (
        [kept_apart(w), kept_apart(w, fish=w.sire), kept_apart(w, since=EARLIER, until=DAY, released_by="vet")],
        [kept_apart(w)],
    ),
    "batch_in_one_quarantine": lambda w: (
        [kept_apart(w, fish=None, batch=w.batch)],
        [kept_apart(w, fish=None, batch=w.batch, since=EARLIER)],
    ),
    "quarantine_of_a_fish_or_a_batch": lambda w: (
        [kept_apart(w)],
        [kept_apart(w, batch=w.batch), kept_apart(w, fish=None)],
    ),
    "treatment_of_a_fish_or_a_batch": lambda w: ([treated(w, DAY)], [treated(w, DAY, fish=None)]),
    "quarantine_ends_after_start": lambda w: (
        [kept_apart(w, until=DAY, released_by="vet")],
        [kept_apart(w, until=EARLIER, released_by="vet")],
    ),
    "quarantine_ends_by_a_veterinarian": lambda w: (
        [kept_apart(w)],
        [kept_apart(w, fish=w.sire, until=DAY), kept_apart(w, fish=w.other, released_by="vet")],
    ),
    "withdrawal_ends_after_treatment": lambda w: ([treated(w, DAY), treated(w, None)], [treated(w, EARLIER)]),
}
