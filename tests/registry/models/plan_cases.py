"""Rows that break just one constraint of cross plans, for `test_constraints.py`."""

from collections.abc import Callable
from decimal import Decimal
from types import SimpleNamespace

from django.db.models import Model

from registry import models as kept
from tests.support.world import DAY


def amendment(w: SimpleNamespace, number: str, count: int | None, amends: bool = True) -> kept.CrossPlan:
    first = w.plan if amends else None
    return kept.CrossPlan(number=number, stock=w.stock, season=2021, amends=first, amendment=count)


def terms(w: SimpleNamespace, **more: object) -> kept.PlanTerms:
    plain = {"crosses": 6, "scheme": "free", "price": 0, "count_living": True, "count_made": True}
    return kept.PlanTerms(plan=w.plan, **plain | more)


def limit(w: SimpleNamespace, key: str, value: object = None) -> kept.PlanLimit:
    return kept.PlanLimit(plan=w.plan, key=key, value=value, reason="invented")


def stand(w: SimpleNamespace, fish: kept.Fish, stand: str, most: int | None = None) -> kept.PlanFish:
    return kept.PlanFish(plan=w.plan, fish=fish, stand=stand, most=most, reason="invented")


def wish(w: SimpleNamespace, sire: kept.Fish) -> kept.PlanPair:
    return kept.PlanPair(plan=w.plan, dam=w.dam, sire=sire, stand="locked")


def answer(w: SimpleNamespace) -> kept.PlanAnswer:
    figures = {"objective": 1, "group_coancestry": 0, "mean_inbreeding": 0, "seconds": 1}
    return kept.PlanAnswer(plan=w.plan, proven=False, **figures)


def not_made(w: SimpleNamespace, reason: str) -> kept.CrossNotMade:
    return kept.CrossNotMade(planned=w.planned, reason=reason)


def remark(w: SimpleNamespace, **pair: kept.Fish) -> kept.PlanRemark:
    return kept.PlanRemark(plan=w.plan, words="a word", **pair)


def step(w: SimpleNamespace, name: str) -> kept.PlanReview:
    return kept.PlanReview(plan=w.plan, step=name)


def sets(w: SimpleNamespace, count: int, **more: object) -> kept.PloidyFound:
    return kept.PloidyFound(fish=w.dam, measured_on=DAY, sets=count, method="karyotype", by="invented", **more)


# For each constraint: rows that the database takes, then rows each of which it refuses.
PLAN_CASES: dict[str, Callable[[SimpleNamespace], tuple[list[Model], list[Model]]]] = {
    "amendment_number_once": lambda w: (
        [amendment(w, "P1-A1", 1), amendment(w, "P1-A2", 2)],
        [amendment(w, "P1-A1b", 1)],
    ),
    "amendment_of_a_plan_is_numbered": lambda w: (
        [],
        [amendment(w, "P2", None), amendment(w, "P3", 1, amends=False), amendment(w, "P4", 0)],
    ),
    "one_current_answer_of_a_plan": lambda w: ([answer(w)], [answer(w)]),
    "one_current_set_of_terms": lambda w: ([terms(w)], [terms(w, crosses=7)]),
    "crosses_wanted_above_zero": lambda w: ([], [terms(w, crosses=0)]),
    "mates_above_zero": lambda w: ([terms(w, mates=1)], [terms(w, mates=0)]),
    "price_not_below_zero": lambda w: ([], [terms(w, price=Decimal("-0.1"))]),
    "weight_of_young_over_0_up_to_1": lambda w: (
        [terms(w, weight_of_young=1)],
        [terms(w, weight_of_young=0), terms(w, weight_of_young=Decimal("1.000001"))],
    ),
    "limit_once_in_plan": lambda w: ([limit(w, "tissue"), limit(w, "ripe")], [limit(w, "tissue")]),
    "limit_not_below_zero": lambda w: ([limit(w, "relationship", 0)], [limit(w, "least_dams", -1)]),
    "fish_once_in_plan": lambda w: ([stand(w, w.dam, "out"), stand(w, w.sire, "in")], [stand(w, w.dam, "in")]),
    "limited_fish_has_its_number": lambda w: (
        [stand(w, w.dam, "limited", 1)],
        [stand(w, w.sire, "limited"), stand(w, w.sire, "limited", 0), stand(w, w.sire, "out", 1)],
    ),
    "wish_once_of_a_pair": lambda w: ([wish(w, w.sire), wish(w, w.other)], [wish(w, w.sire)]),
    "plan_closed_once": lambda w: (
        [step(w, "submitted"), step(w, "returned"), step(w, "submitted"), step(w, "closed")],
        [step(w, "closed")],
    ),
    "remark_on_a_plan_or_a_pair": lambda w: (
        [remark(w), remark(w, dam=w.dam, sire=w.sire)],
        [remark(w, dam=w.dam), remark(w, sire=w.sire)],
    ),
    "one_reason_of_a_cross_not_made": lambda w: (
        [not_made(w, "no milt")],
        [not_made(w, "no eggs")],
    ),
    "off_plan_cross_seen_once": lambda w: (
        [kept.OffPlanSeen(cross=w.cross, words="seen")],
        [kept.OffPlanSeen(cross=w.cross, words="seen twice")],
    ),
    "chromosome_sets_above_zero": lambda w: ([sets(w, 2)], [sets(w, 0)]),
    "dna_content_above_zero": lambda w: ([sets(w, 2, dna_pg=None), sets(w, 2, dna_pg=1)], [sets(w, 2, dna_pg=0)]),
}
