"""Broodstock ready to spawn, entered through operations: founders, two full-sib families, checks and frozen milt."""

from datetime import date, timedelta
from decimal import Decimal
from types import SimpleNamespace

from django.utils import timezone

from registry.models import Role
from registry.operations.checks import record_measurement
from registry.operations.crossing.milt import MiltCollected, collect_milt
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.opened import named_by_pairs, planned, subject, the_plan
from registry.operations.crossing.plans.review import sign_plan, submit_plan
from registry.operations.crossing.plans.wishes import set_limit
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import admit_fish
from registry.operations.shared.desk import open_desk
from registry.operations.shared.entries import (
    Admission,
    CrossMade,
    Day,
    LimitSet,
    Measurement,
    PairWanted,
    PlanDraft,
    PlanSigned,
    PlanSubmitted,
    SireShare,
    SpawningNight,
)
from registry.permissions import PLAN, Actor
from tests.support.people import person
from tests.support.river import STOCK, small_river

HALL = Actor(None, "hall", frozenset({Role.STAFF, Role.MANAGER, Role.GENETICIST}), "test")


def broodstock() -> SimpleNamespace:
    """Enter a small river whose founders and young are ripe this season.

    F1 ─┬─ M1 ─┬─ F2      M2
      10-1    10-2
     D1♀ D2♂  H1♂        D1, D2 full sibs; H1 their half sib by M1
    """
    river = small_river()
    other = CrossMade(dam="F2", sires=(SireShare(sire="M1"),), family="10-2")
    record_spawning(HALL, SpawningNight(spawned_on=date(2010, 5, 2), crosses=(other,), stock=STOCK))
    for number, sex, family in (("D1", "F", "10-1"), ("D2", "M", "10-1"), ("H1", "M", "10-2")):
        young(number, sex, family)
    for number in ("F1", "F2", "M1", "M2", "D1", "D2", "H1"):
        check(number, "IV")
    return river


def young(number: str, sex: str, family: str) -> None:
    """Admit a fish of a family of 2010."""
    hatched = Day(date(2010, 5, 9))
    admit_fish(HALL, Admission(number=number, species="ruthenus", stock=STOCK, sex=sex, origin="hatchery",
                               family=family, hatched=hatched))  # fmt: skip


def check(number: str, stage: str, days_ago: int = 20) -> None:
    """Note the maturity stage found so many days ago."""
    day = timezone.localdate() - timedelta(days=days_ago)
    record_measurement(HALL, Measurement(fish=number, checked_on=day, stage=stage, method="ultrasound"))


def freeze_milt(male: str, doses: int = 5) -> None:
    """Lay in frozen milt of a male."""
    collect_milt(HALL, MiltCollected(number=f"L-{male}", male=male, collected_on=date(2012, 5, 1), state="frozen",
                                     doses=doses))  # fmt: skip


def lift(plan: str, *keys: str) -> None:
    """Lift limits of a plan that the fish of the small river do not keep: by default those on checks and samples."""
    for key in keys or ("ripe", "tissue", "repeat_years", "incubators"):
        set_limit(HALL, LimitSet(plan=plan, key=key, reason="not looked at here"))


def put_in(plan: str, *pairs: PairWanted, by: Actor = HALL) -> None:
    """Put pairs into a plan unjudged, as they stand in it once a limit or a fish has changed since."""
    with open_desk(by, PLAN, named_by_pairs(*pairs)) as desk:
        made = desk.entry("crosses taken", subject(plan))
        for pair in pairs:
            made.add(planned(desk, the_plan(plan), pair))


def plan_of(*pairs: tuple[str, str], number: str = "P1", signed: bool = True) -> None:
    """Draft a plan of this season with these pairs, and sign it."""
    wanted = tuple(PairWanted(dam=dam, sire=sire, kinship=Decimal(0)) for dam, sire in pairs)
    season = timezone.localdate().year
    draft_plan(HALL, PlanDraft(number=number, stock=STOCK, season=season))
    put_in(number, *wanted)
    lift(number)
    if signed:
        submit_plan(HALL, PlanSubmitted(plan=number))
        sign_plan(person(Role.GENETICIST), PlanSigned(plan=number))
