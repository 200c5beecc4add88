"""How far a kinship may lie from its mean where parents are in doubt."""

from decimal import Decimal

import pytest

from registry.models import Fish
from registry.operations.fish import admit_fish
from registry.operations.shared.entries import Admission, Pair
from registry.queries.catalogue import Inherits
from registry.queries.crosses.doubt import Doubt, doubts_of
from tests.support.broodstock import HALL, STOCK, broodstock

pytestmark = pytest.mark.django_db


@pytest.fixture
def stock() -> None:
    broodstock()


def pooled(number: str, *sires: str) -> None:
    share = Decimal(1) / len(sires)
    pairs = tuple(Pair("F2", sire, share) for sire in sires)
    admit_fish(HALL, Admission(number=number, species="ruthenus", stock=STOCK, pairs=pairs))


def doubt(one: str, other: str) -> Doubt | None:
    keys = dict(Fish.objects.filter(number__in=[one, other]).values_list("number", "pk"))
    pair = keys[one], keys[other]
    return doubts_of([pair]).get(pair)


def test_certain_parents_leave_no_doubt(stock: None) -> None:
    assert doubt("D1", "D2") is None


def test_the_bounds_are_those_of_the_possible_parents(stock: None) -> None:
    pooled("P1", "M1", "M2")
    # Half sib of D2 by M1, 1/8, or unrelated to it (Falconer & Mackay 1996, chapter 5, from memory).
    assert doubt("P1", "D2") == Doubt((0, 0.125))


def test_parents_that_do_not_matter_to_the_pair_leave_no_doubt(stock: None) -> None:
    pooled("P1", "M1", "M2")
    assert doubt("P1", "F1") is None


@pytest.mark.parametrize(
    ("bounds", "limit", "decides"),
    [
        ((0.0, 0.125), 0.125, True),
        ((0.0, 0.125), 0.25, False),
        ((0.125, 0.25), 0.125, False),
        ((0.0, 0.125), None, False),
        (None, 0.125, False),
    ],
)
def test_a_verdict_hangs_on_doubt_where_the_limit_lies_within_the_bounds(
    bounds: tuple[float, float] | None, limit: float | None, decides: bool
) -> None:
    assert Doubt(bounds).decides(limit) is decides


def test_of_many_pairs_only_those_in_doubt_are_told_of(stock: None) -> None:
    pooled("P1", "M1", "M2")
    keys = dict(Fish.objects.values_list("number", "pk"))
    pairs = [(keys["P1"], keys[other]) for other in ("D2", "F1", "M1")]

    found = doubts_of(pairs, Inherits(4))

    # Relationship, ploidy × kinship, is that of half sibs at any ploidy; with its father M1 that of parent or stranger.
    assert {pair: [4 * bound for bound in doubt.bounds or ()] for pair, doubt in found.items()} == {
        (keys["P1"], keys["D2"]): [0, 0.25],
        (keys["P1"], keys["M1"]): [0, 0.5],
    }
    assert doubts_of([]) == {}
