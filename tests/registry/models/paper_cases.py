"""Rows that the constraints of permits and documents take and refuse, for test_constraints."""

from collections.abc import Callable
from types import SimpleNamespace

from django.db.models import Model

from registry import models as kept
from tests.support.world import DAY

EARLIER = DAY.replace(year=2020)


def paper(w: SimpleNamespace, **more: object) -> kept.PermitDetails:
    return kept.PermitDetails(**{"permit": w.permit, "issuer": "authority", "valid_from": DAY} | more)


def allowed(w: SimpleNamespace, act: str = "release", **more: object) -> kept.PermitAllowance:
    return kept.PermitAllowance(details=w.paper, act=act, **more)


def about(w: SimpleNamespace, **more: object) -> kept.DocumentSubject:
    return kept.DocumentSubject(document=w.document, **more)


# For each constraint: rows that the database takes, then rows each of which it refuses.
OF_PAPERS: dict[str, Callable[[SimpleNamespace], tuple[list[Model], list[Model]]]] = {
    "document_about_one_record": lambda w: (
        [about(w, fish=w.dam), about(w, unit=w.unit)],
        [about(w), about(w, fish=w.dam, batch=w.batch), about(w, permit=w.permit, plan=w.plan)],
    ),
    "document_once_on_a_record": lambda w: (
        [about(w, fish=w.dam), about(w, fish=w.sire), about(w, batch=w.batch)],
        [about(w, fish=w.dam), about(w, batch=w.batch)],
    ),
    "permit_number_once": lambda _: ([kept.Permit(number="BW/2021/8")], [kept.Permit(number="bw/2021/8")]),
    "one_current_set_of_permit_details": lambda w: ([paper(w)], [paper(w)]),
    "permit_ends_after_start": lambda w: ([paper(w, valid_until=DAY)], [paper(w, valid_until=EARLIER)]),
    "permit_line_once": lambda w: (
        [allowed(w), allowed(w, "capture"), allowed(w, stock=w.stock), allowed(w, species=w.species)],
        [allowed(w, most=5), allowed(w, stock=w.stock), allowed(w, species=w.species)],
    ),
    "permit_allows_at_least_one": lambda w: ([allowed(w, most=1)], [allowed(w, "capture", most=0)]),
}
