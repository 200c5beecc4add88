"""Families: the list, and one family with its parents, crosses, batches and fish."""

import csv
import io
from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.operations.crossing.spawning import record_spawning
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import Admission, CrossMade, Registration, SireShare, SpawningNight
from tests.support.river import STOCK, small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def river():
    return small_river()


def spawned(by, family, *sires, day=date(2011, 5, 1)):
    share = Decimal(1) / len(sires)
    cross = CrossMade(dam="F2", sires=tuple(SireShare(sire=sire, share=share) for sire in sires), family=family)
    record_spawning(by, SpawningNight(spawned_on=day, stock=STOCK, crosses=(cross,)))


def listed(client, query=""):
    file = client.get(f"/families/?export=csv&{query}").getvalue().decode("utf-8-sig")
    return {row["Family"]: row for row in csv.DictReader(io.StringIO(file))}


def test_a_family_stands_in_the_list_with_its_parents(client_of, river):
    spawned(river.by, "11-1", "M1", "M2")

    rows = listed(client_of("viewer"))
    assert rows["10-1"]["Parents"] == "♀ F1 × ♂ M1"
    assert rows["10-1"]["Evidence"] == "Recorded cross"
    assert rows["11-1"]["Parents"] == "♀ F2 × ♂ M1 (0.5); ♀ F2 × ♂ M2 (0.5)"
    assert rows["11-1"]["Evidence"] == "Pooled milt"


def test_families_are_narrowed_by_parent_evidence_and_night(client_of, river):
    spawned(river.by, "11-1", "M1", "M2")
    client = client_of("viewer")

    assert list(listed(client, "parent=f1")) == ["10-1"]
    assert list(listed(client, "parent=M2")) == ["11-1"]
    assert list(listed(client, "basis=pooled")) == ["11-1"]
    assert list(listed(client, "spawned_on_after=2010-12-31")) == ["11-1"]
    assert list(listed(client, "spawned_on_before=2010-12-31")) == ["10-1"]


def test_the_page_shows_parents_cross_batch_and_fish(client_of, river):
    register_individuals(
        river.by, Registration(batch="B1", moved_on=date(2011, 5, 1), fish=(Admission(number="10-1/01"),))
    )

    text = client_of("viewer").get("/families/10-1/").content.decode()

    for shown in ('href="/fish/F1/"', 'href="/fish/M1/"', 'href="/fish/10-1/01/"', "1 May 2010", "B1", "999"):
        assert shown in text, shown
    assert "1, of them 1 living" in text


def test_both_pages_cost_the_same_for_few_and_for_many(client_of, river):
    client = client_of("viewer")
    costs = []
    for more in (0, 30):
        for n in range(more):
            spawned(river.by, f"12-{n}", "M1", "M2", day=date(2012, 5, 1))
        more_young = tuple(Admission(number=f"Y{n}") for n in range(more))
        if more:
            register_individuals(river.by, Registration(batch="B1", moved_on=date(2011, 5, 1), fish=more_young))
        client.get("/families/10-1/")
        with CaptureQueriesContext(connection) as queries:
            assert client.get("/families/?per_page=100").status_code == 200
            assert client.get("/families/10-1/").status_code == 200
        costs.append(len(queries))

    assert costs[0] == costs[1]


def test_a_family_that_is_not_there_is_not_found(client_of, river):
    assert client_of("viewer").get("/families/99-9/").status_code == 404
