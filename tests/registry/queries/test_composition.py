"""Whose young are in a batch, on any day."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest
from pytest_django import DjangoAssertNumQueries

from registry.models import Batch
from registry.operations.crossing.spawning import record_spawning
from registry.operations.shared.entries import (
    BatchOpening,
    Census,
    CrossMade,
    FamilyShare,
    Merge,
    Pair,
    SireShare,
    SpawningNight,
    Split,
    Taking,
)
from registry.operations.young.batches import merge_batches, open_batch, record_census, record_loss, split_batch
from registry.queries.composition import family_shares, pairs_of_families, shares_on
from tests.support.river import STOCK, small_river

JUNE, JULY, AUGUST = date(2010, 6, 1), date(2010, 7, 1), date(2010, 8, 1)
HALF, QUARTER = Decimal("0.5"), Decimal("0.25")


@pytest.fixture
def river(db: None) -> SimpleNamespace:
    """Return the small river where half of B1 came from B2 in July.

    B1 1,000 of 10-1 ───────────────┬─ B1 1,600 (1 July)
    B2 1,000 of 10-2 (pooled) ─ 600 ┘
    """
    river = small_river()
    sires = (SireShare(sire="M1", share=HALF), SireShare(sire="M2", share=HALF))
    night = (CrossMade(dam="F2", sires=sires, family="10-2"),)
    record_spawning(river.by, SpawningNight(spawned_on=date(2010, 5, 2), stock=STOCK, crosses=night))
    share = (FamilyShare(family="10-2"),)
    open_batch(river.by, BatchOpening(number="B2", opened_on=date(2010, 5, 11), count=1000, families=share))
    merge_batches(river.by, Merge(batch="B2", into="B1", moved_on=JULY, count=600))
    return river


def test_a_merge_adds_the_families_from_its_day_on(river: SimpleNamespace) -> None:
    assert family_shares(river.batch, JUNE) == {"10-1": 1}
    assert family_shares(river.batch) == {"10-1": Decimal("0.625"), "10-2": Decimal("0.375")}
    assert family_shares(Batch.objects.get(number="B2")) == {"10-2": 1}


def test_losses_counts_and_splits_keep_the_proportions(river: SimpleNamespace) -> None:
    before = family_shares(river.batch)
    record_loss(river.by, Taking(batch="B1", moved_on=AUGUST, count=333))
    record_census(river.by, Census(batch="B1", moved_on=AUGUST, counted=1301))
    part = split_batch(river.by, Split(batch="B1", new_number="B3", moved_on=AUGUST, count=77))
    assert family_shares(river.batch) == family_shares(part) == before


def test_an_empty_batch_still_says_whose_young_it_held(river: SimpleNamespace) -> None:
    record_loss(river.by, Taking(batch="B2", moved_on=AUGUST, count=400))
    assert family_shares(Batch.objects.get(number="B2")) == {"10-2": 1}


def test_many_batches_on_many_days_cost_no_more_queries_than_one(
    river: SimpleNamespace, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    asked = {("B1", JUNE), ("B1", JULY), ("B1", None), ("B2", None)}
    with django_assert_max_num_queries(7):
        found = shares_on(asked)
    assert found["B1", JUNE] == {"10-1": 1}
    assert found["B1", JULY] == found["B1", None] == family_shares(river.batch)


def test_the_parentage_of_a_mixture_is_the_mixture_of_the_parentages(river: SimpleNamespace) -> None:
    pairs = pairs_of_families({"10-1": HALF, "10-2": HALF})
    assert set(pairs) == {Pair("F1", "M1", HALF), Pair("F2", "M1", QUARTER), Pair("F2", "M2", QUARTER)}


def test_fish_of_no_family_have_unknown_parents(river: SimpleNamespace) -> None:
    assert pairs_of_families({"": Decimal(1)}) == ()
    assert set(pairs_of_families({"": QUARTER, "10-1": Decimal("0.75")})) == {
        Pair(None, None, QUARTER),
        Pair("F1", "M1", Decimal("0.75")),
    }


def test_shares_sum_to_exactly_one(river: SimpleNamespace) -> None:
    thirds = pairs_of_families({"10-1": Decimal("0.333333333333"), "10-2": Decimal("0.666666666667")})
    assert sum(pair.probability for pair in thirds) == 1
