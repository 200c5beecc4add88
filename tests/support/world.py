"""A few rows put in by a plain query set, past every rule: to see what the database itself holds and refuses."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import TypeVar

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import IntegrityError, models, transaction

from registry import models as kept
from registry.journal import write
from registry.permissions import ADMINISTER, Actor

Row = TypeVar("Row", bound=models.Model)
SETUP = Actor(None, "setup", frozenset({kept.Role.ADMINISTRATOR}), "test")
DAY = date(2021, 5, 3)


@dataclass(frozen=True, slots=True)
class Hand:
    """Puts rows in under one journal entry, and takes them back."""

    seq: int

    def put(self, row: Row) -> Row:
        """Insert a row as it stands."""
        row.entry_id = self.seq
        return models.QuerySet(type(row)).bulk_create([row])[0]

    def change(self, row: models.Model, **values: object) -> None:
        """Change a row in place."""
        models.QuerySet(type(row)).filter(pk=row.pk).update(**values)

    def withdraw(self, row: models.Model) -> None:
        """Mark a row as taken back."""
        self.change(row, withdrawn_id=self.seq)


def entry(what: str = "looked") -> int:
    """Write a journal entry that changes nothing, and return its place in the chain."""
    with write.entry(SETUP, what, permission=ADMINISTER, subject="the register") as opened:
        return opened.seq


@contextmanager
def refused_by(constraint: str) -> Iterator[None]:
    """Expect that the database refuses, and that it is this constraint that does."""
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        yield
    said = str(caught.value)
    assert constraint in said or columns_of(constraint) in said, said


def constraints() -> dict[str, models.BaseConstraint]:
    """Return every named constraint of the register's models."""
    every = apps.get_app_config("registry").get_models()
    return {constraint.name: constraint for model in every for constraint in model._meta.constraints}


def columns_of(constraint: str) -> str:
    """Return the columns of a unique constraint, which SQLite says instead of its name."""
    for model in apps.get_app_config("registry").get_models():
        for known in model._meta.constraints:
            if known.name == constraint and getattr(known, "fields", ()):
                names = [model._meta.get_field(field).column for field in known.fields]
                return ", ".join(f"{model._meta.db_table}.{name}" for name in names)
    return constraint


@pytest.fixture
def hand(db: None) -> Hand:
    """Return a hand that puts rows in past every rule."""
    return Hand(entry())


@pytest.fixture
def world(hand: Hand) -> SimpleNamespace:
    """Return one row of each thing that other rows hang on."""
    put = hand.put
    w = SimpleNamespace(user=User.objects.create_user("hand"))
    w.species = put(species("sterlet", ploidy=4))
    w.stock = put(kept.Stock(name="Lower Isendre", species=w.species))
    w.dam, w.sire, w.other = (put(kept.Fish(number=number)) for number in ("F1", "M1", "M2"))
    w.batch, w.second = (put(kept.Batch(number=number, opened_on=DAY)) for number in ("B1", "B2"))
    w.family = put(kept.Family(number="FAM1"))
    w.parentage = put(kept.Parentage(basis="recorded"))
    w.facility = put(kept.Facility(name="Brackenholt Weir Hatchery"))
    w.water = put(kept.WaterSystem(facility=w.facility, name="river water"))
    w.unit, w.pond = (put(kept.HoldingUnit(facility=w.facility, name=name, kind="tank")) for name in ("T1", "T2"))
    other_stock = put(kept.Stock(name="Quern Mill", species=w.species))
    w.founders = put(kept.FounderSet(stock=other_stock, source="invented"))
    w.plan = put(kept.CrossPlan(number="P1", stock=w.stock, season=2021))
    w.spawning = put(kept.Spawning(number="S1", spawned_on=DAY))
    w.cross = put(kept.Cross(spawning=w.spawning, family=w.family, dam=w.dam))
    w.release = put(kept.Release(number="R1", released_on=DAY))
    w.permit = put(kept.Permit(number="BW/2021/7"))
    w.paper = put(kept.PermitDetails(permit=w.permit, issuer="fisheries authority", valid_from=DAY))
    hand.withdraw(w.paper)
    w.capture = put(kept.Capture(fish=w.dam, caught_at=datetime(2021, 5, 3, tzinfo=UTC), zone="UTC", place="mouth"))
    w.document = put(
        kept.Document(number="D1", title="letter", name="a.pdf", kind="pdf", size_bytes=1, sha256="0" * 64)
    )
    w.lot = put(kept.MiltLot(number="L1", male=w.sire, collected_on=DAY, state="frozen", doses=10))
    w.determination = put(kept.Determination(fish=w.dam, determined_on=DAY))
    w.losses = put(kept.Account(kind="loss"))
    w.account = put(kept.Account(kind="batch", batch=w.batch, balance=100))
    return w


def species(key: str, *, ploidy: int) -> kept.Species:
    """Return a species that was not put in yet."""
    return kept.Species(
        key=key, scientific_name=key, common_name=key, ploidy=ploidy, chromosome_class="low",
        max_length_mm=1, max_mass_g=1, source="invented for this test",
    )  # fmt: skip
