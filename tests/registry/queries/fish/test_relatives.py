"""Who is around a fish in the pedigree, and what is left out when there are too many to draw.

F1 ─┬─ M1      F2 ─┬─ M2
   GD             GS
    └──────┬───────┘
          KIN ─── (young)
"""

from decimal import Decimal

import pytest

from registry.models import Fish
from registry.operations.fish import admit_fish
from registry.operations.shared.entries import Admission, Pair
from registry.pages.fish.pictures import pedigree
from registry.queries.fish.relatives import relatives
from tests.support.river import small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    river = small_river()
    born(river.by, "GD", Pair("F1", "M1"), sex="F")
    born(river.by, "GS", Pair("F2", "M2"), sex="M")
    born(river.by, "KIN", Pair("GD", "GS"), sex="F")
    return river.by


def born(by, number, *pairs, sex="U"):
    admit_fish(by, Admission(number=number, sex=sex, pairs=pairs))


def around(number):
    return relatives(Fish.objects.get(number=number).pk)


def numbers(found):
    return sorted(one.number for one in found.fish.values())


def test_three_generations_up_and_the_young_with_their_other_parent(by):
    born(by, "Y1", Pair("KIN", "M1"))
    born(by, "Y2", Pair("KIN", None))

    found = around("KIN")

    assert numbers(found) == ["F1", "F2", "GD", "GS", "KIN", "M1", "M2", "Y1", "Y2"]
    assert (found.young, len(found.shown), found.cut) == (2, 2, False)
    assert {one.number for one in found.fish.values() if one.founder} == {"F1", "F2", "M1", "M2"}


def test_the_fourth_generation_up_is_not_drawn(by):
    born(by, "Y1", Pair("KIN", None), sex="F")
    born(by, "Z1", Pair("Y1", None))

    assert numbers(around("Z1")) == ["GD", "GS", "KIN", "Y1", "Z1"]


def test_of_many_young_the_first_eight_are_drawn_and_all_are_counted(by):
    for n in range(12):
        born(by, f"Y{n:02d}", Pair("KIN", None))

    found = around("KIN")
    assert (found.young, len(found.shown)) == (12, 8)
    assert "and 4 more young" in pedigree(found)


def pooled(by, number, males):
    share = (Decimal(1) / len(males)).quantize(Decimal("1e-12"))
    shares = [share] * (len(males) - 1)
    pairs = zip(males, [*shares, 1 - sum(shares)], strict=True)
    born(by, number, *(Pair("F2", male, part) for male, part in pairs), sex="F")


def test_more_possible_ancestors_than_can_be_drawn_are_left_out_and_that_is_said(by):
    males = [f"M{n}" for n in range(10, 105)]
    for male in males:
        born(by, male, sex="M")
    pooled(by, "POOL", males)

    found = around("POOL")
    assert found.cut
    assert numbers(found) == ["POOL"]
    assert "<svg" in pedigree(found)


def test_young_with_more_possible_fathers_than_can_be_drawn_are_only_counted(by):
    males = [f"M{n}" for n in range(10, 155)]
    for male in males:
        born(by, male, sex="M")
    pooled(by, "POOL", males)

    found = around("F2")
    assert (found.young, found.shown) == (2, [Fish.objects.get(number="GS").pk])
    assert "and 1 more young" in pedigree(found)
