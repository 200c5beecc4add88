"""Ancestors and young, over any number of generations, one query a generation."""

from datetime import date
from types import SimpleNamespace

import pytest
from pytest_django import DjangoAssertNumQueries

from registry.models import Fish
from registry.operations.fish import admit_fish
from registry.operations.parentage import ParentageFound, determine_parentage
from registry.operations.shared.entries import Admission, Day, Pair
from registry.queries.fish.ancestry import ancestors, children_of
from tests.support.river import STOCK, small_river

# F1 ─┬─ M1   F2
#     Y1 ♂ ───┤
#             Z1
LINE = {"Y1": ("M", 2010, Pair("F1", "M1")), "Z1": ("U", 2018, Pair("F2", "Y1"))}


@pytest.fixture
def river(db: None) -> SimpleNamespace:
    """Return the small river with two generations more."""
    river = small_river()
    for number, (sex, year, pair) in LINE.items():
        born = Day(date(year, 5, 8))
        young = Admission(number=number, species="ruthenus", stock=STOCK, sex=sex, hatched=born, pairs=(pair,))
        river.fish[number] = admit_fish(river.by, young)
    return river


def keys(river: SimpleNamespace, *numbers: str) -> set[int]:
    return {river.fish[number].pk for number in numbers}


def numbers(found: set[int]) -> set[str]:
    return set(Fish.objects.filter(pk__in=found).values_list("number", flat=True))


def test_ancestors_go_up_to_the_founders_and_hold_the_fish_itself(river: SimpleNamespace) -> None:
    assert numbers(ancestors(keys(river, "Z1"))) == {"Z1", "F2", "Y1", "F1", "M1"}
    assert numbers(ancestors(keys(river, "F1"))) == {"F1"}


def test_children_are_named_with_the_parent_that_they_may_have(river: SimpleNamespace) -> None:
    f1, m1, y1, z1 = (river.fish[number].pk for number in ("F1", "M1", "Y1", "Z1"))
    assert set(children_of([f1, m1, y1])) == {(f1, y1), (m1, y1), (y1, z1)}
    assert children_of([z1]) == []


def test_parents_that_genotyping_ruled_out_are_no_ancestors(river: SimpleNamespace) -> None:
    new = ParentageFound(fish="Y1", pairs=(Pair("F2", "M2"),), basis="genotype", reason="No mismatch.")
    determine_parentage(river.by, new)
    assert numbers(ancestors(keys(river, "Z1"))) == {"Z1", "F2", "Y1", "M2"}
    assert children_of(keys(river, "F1")) == []


def test_one_query_a_generation_however_many_fish(
    river: SimpleNamespace, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(3):
        ancestors(keys(river, "Z1"))
    more = [admit_fish(river.by, Admission(number=f"Z{n}", pairs=(Pair("F2", "Y1"),))).pk for n in range(2, 22)]
    with django_assert_num_queries(3):
        assert len(ancestors(more)) == len(more) + 4
