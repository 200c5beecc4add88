"""A draft plan on the broodstock, every fish sampled; two free jars; females of known mass."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import transaction
from django.utils import timezone

from registry.models import CrossPlan
from registry.operations.checks import record_measurement
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.wishes import set_limit, set_plan_fish, set_plan_pair, set_terms
from registry.operations.identity.characters import load_characters
from registry.operations.intake.samples import take_sample
from registry.operations.people import installer
from registry.operations.places import UnitOpened, open_unit
from registry.operations.shared.entries import FishStand, LimitSet, Measurement, PairStand, PlanDraft, TermsSet
from registry.queries.crosses.season.problem import SeasonProblem, season_problem
from registry.rules.intake.samples import SampleTaken
from tests.support.broodstock import HALL, broodstock
from tests.support.river import STOCK

ALL = ("D1", "D2", "F1", "F2", "H1", "M1", "M2")
PLAN = "P1"


@pytest.fixture(scope="module")
def drafted(django_db_setup: None, django_db_blocker: Any) -> Iterator[CrossPlan]:
    """Enter the broodstock once for all tests of a file, and take it back after them."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield _draft()
        transaction.set_rollback(True)


@pytest.fixture
def plan(drafted: CrossPlan, db: None) -> CrossPlan:
    """Return an empty draft of this season that asks for three crosses; what a test enters is taken back after it."""
    return drafted


def _draft() -> CrossPlan:
    broodstock()
    load_characters(installer("test"))
    yesterday = timezone.localdate() - timedelta(days=1)
    for number in ALL:
        take_sample(HALL, SampleTaken(fish=number, number=f"T-{number}", taken_on=yesterday))
    for jar in ("Jar 1", "Jar 2", "Jar 3"):
        open_unit(installer("test"), UnitOpened(name=jar, kind="jar", facility="Brackenholt Weir Hatchery"))
    made: CrossPlan = draft_plan(HALL, PlanDraft(number=PLAN, stock=STOCK, season=timezone.localdate().year))
    terms(crosses=3)
    return made


def terms(**more: Any) -> None:
    """Set the terms of the plan."""
    set_terms(HALL, TermsSet(**{"plan": PLAN, "crosses": 3} | more))


def limit(key: str, value: int | str | None = None) -> None:
    """Set a limit of the plan off, or lift it."""
    figure = None if value is None else Decimal(value)
    set_limit(HALL, LimitSet(plan=PLAN, key=key, value=figure, reason="to be tested"))


def word_on_fish(fish: str, stand: str, most: int | None = None) -> None:
    """Say the geneticist's word on a fish."""
    set_plan_fish(HALL, FishStand(plan=PLAN, fish=fish, stand=stand, most=most, reason="a bad year"))


def word_on_pair(dam: str, sire: str, stand: str) -> None:
    """Say the geneticist's word on a pair."""
    set_plan_pair(HALL, PairStand(plan=PLAN, dam=dam, sire=sire, stand=stand, reason="a good year"))


def weigh(fish: str, grams: int) -> None:
    """Note a mass of today."""
    record_measurement(HALL, Measurement(fish=fish, checked_on=timezone.localdate(), mass_g=Decimal(grams)))


@pytest.fixture
def asked(plan: CrossPlan) -> Callable[[], SeasonProblem]:
    """Return what asks for the question as it stands."""
    return lambda: season_problem(CrossPlan.objects.select_related("stock__species").get(pk=plan.pk))
