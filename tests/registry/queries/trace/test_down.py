"""What came of a record: young by generation, batches, releases with the share that descends from it, recaptures.

F1 ── M1    F2 ── M1 or M2
  10-1        10-2           B1: 2/3 of 10-1, 1/3 of 10-2; X1, X2 tagged out of it
X1 × X2 → 18-1 → B4 (100) → R2 (40)          B1 → B3 (300) → R1 (200) → C1
"""

from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.operations.registration import register_individuals
from registry.operations.shared.entries import Admission, Registration, ReleaseMade
from registry.operations.young.releases import release
from registry.queries.trace.down import offspring_of
from tests.support.mixed_batch import mixed_batch, second_generation

pytestmark = pytest.mark.django_db


@pytest.fixture
def river(db):
    found = mixed_batch()
    second_generation(found)
    return found


def told(offspring):
    return [
        [(brood.family, round(brood.probability, 4), brood.fish) for brood in broods]
        for broods in offspring.generations
    ]


def shares(reached):
    return {one.number: None if one.share is None else round(one.share, 4) for one in reached}


def test_young_are_told_by_generation_with_the_chance_that_they_are_its_young(river):
    assert told(offspring_of("fish", "M2")) == [
        [("10-2", Decimal("0.5"), []), ("", Decimal("0.1667"), ["X1", "X2"])],
        [("18-1", Decimal(1), [])],
    ]


def test_a_parent_of_both_families_is_counted_once_for_each_pair(river):
    first = told(offspring_of("fish", "M1"))[0]
    assert first == [("10-1", 1, []), ("10-2", Decimal("0.5"), []), ("", Decimal("0.8333"), ["X1", "X2"])]


def test_batches_and_releases_say_which_share_descends_from_the_record(river):
    water = offspring_of("family", "10-2").water

    assert shares(water.batches) == {"B1": Decimal("0.3333"), "B2": 1, "B3": Decimal("0.3333")}
    assert shares(water.releases) == {"R1": Decimal("0.3333")}
    assert [one.fish for one in water.releases] == [200]
    assert [one.number for one in water.recaptures] == ["C1"]


def test_grandchildren_reach_the_river_too(river):
    water = offspring_of("fish", "F1").water

    assert {one.number for one in water.releases} == {"R1", "R2"}
    assert {one.number for one in water.batches} == {"B1", "B3", "B4"}


def test_registered_fish_released_by_number_are_a_release_of_their_own(river):
    release(river.by, ReleaseMade(number="R9", released_on=date(2019, 5, 1), place="the ford", fish=("X1",)))

    reached = {one.number: one for one in offspring_of("fish", "F1").water.releases}
    assert (reached["R9"].fish, reached["R9"].batch, reached["R9"].place) == (1, "", "the ford")


def test_a_batch_leads_to_its_own_splits_releases_and_tagged_fish(river):
    offspring = offspring_of("batch", "B1")

    assert told(offspring)[0] == [("", 1, ["X1", "X2"])]
    assert {one.number for one in offspring.water.batches} == {"B1", "B3", "B4"}
    assert "R1" in {one.number for one in offspring.water.releases}


def test_a_release_leads_to_its_own_fish_and_who_was_met_again(river):
    offspring = offspring_of("release", "R1")

    assert [one.number for one in offspring.water.releases] == ["R1"]
    assert [one.number for one in offspring.water.recaptures] == ["C1"]
    assert offspring.fish == 0


def test_a_fish_without_young_leads_nowhere(river):
    water = offspring_of("fish", "X1").water
    assert {one.number for one in water.releases} == {"R2"}
    with pytest.raises(LookupError, match="fish NONE"):
        offspring_of("fish", "NONE")


def test_a_descent_costs_as_many_queries_for_two_young_as_for_thirty(river):
    with CaptureQueriesContext(connection) as few:
        offspring_of("fish", "F1")
    fish = tuple(Admission(number=f"Q{n}") for n in range(28))
    register_individuals(river.by, Registration(batch="B1", moved_on=date(2011, 3, 1), fish=fish))
    with CaptureQueriesContext(connection) as many:
        assert offspring_of("fish", "F1").fish == 30
    assert len(many) == len(few) < 40
