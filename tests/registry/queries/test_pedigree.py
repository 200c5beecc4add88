"""Rows become a pedigree: its kinship is that of the textbook recursion written below."""

from datetime import date
from decimal import Decimal
from functools import cache
from itertools import combinations_with_replacement
from types import SimpleNamespace

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from breeding.genetics.kinship import kinship_among
from registry.journal import write
from registry.models import Fish, FishDetails, Parentage, ParentPair, Stock
from registry.operations.fish import admit_fish, record_departure
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import Admission, Day, Departure, Pair, Registration
from registry.permissions import ENTER
from registry.queries.pedigree import pedigree_of, stock_pedigree
from tests.support.river import STOCK, small_river

HALF = Decimal("0.5")
POOLED = (Pair("F2", "M1", HALF), Pair("F2", "M2", HALF))
MIXED = (Pair("F1", "M2", Decimal("0.7")), Pair("F2", "M1", Decimal("0.3")))


@pytest.fixture
def river(db: None) -> SimpleNamespace:
    """Return the small river with young.

    F1 × M1 → Y1 ♀, Y2 ♂        F2 × (M1 or M2) → P1 ♀, P2, P3
    Y2 × P1 → Z1                 (F1 × M2 or F2 × M1) → Q1
    """
    river = small_river()
    young = (Admission(number="Y1", sex="F"), Admission(number="Y2", sex="M"))
    register_individuals(river.by, Registration(batch="B1", moved_on=date(2011, 5, 1), fish=young))
    for number, sex, year, pairs in (
        ("P1", "F", 2012, POOLED),
        ("P2", "U", 2012, POOLED),
        ("P3", "U", 2012, POOLED),
        ("Z1", "U", 2020, (Pair("P1", "Y2"),)),
        ("Q1", "U", 2012, MIXED),
    ):
        hatched = Day(date(year, 5, 9))
        family = "12-1" if pairs is POOLED else ""
        entry = Admission(
            number=number, species="ruthenus", stock=STOCK, sex=sex, hatched=hatched, pairs=pairs, family=family
        )
        admit_fish(river.by, entry)
    return river


def keys() -> dict[str, int]:
    return dict(FishDetails.objects.current().values_list("fish__number", "fish_id"))


def textbook(numbers: list[str]) -> np.ndarray:
    """Return kinship by recursion from the younger fish to its parents, uncertain parents by their probabilities.

    f(i, i) = (1 + f(dam, sire)) / 2; f(i, j) = (f(dam of i, j) + f(sire of i, j)) / 2 where i is no ancestor of j
    (Lange 2002, Mathematical and Statistical Methods for Genetic Analysis, ch. 5); the mean of it over the pairs of
    parents, each fish drawing its own.
    """
    parents: dict[str, list[tuple[str, str, float]]] = {}
    rows = ParentPair.objects.filter(parentage__fish__withdrawn=None)
    values = rows.values_list("parentage__fish__fish__number", "dam__number", "sire__number", "probability")
    for child, dam, sire, probability in values:
        parents.setdefault(child, []).append((dam, sire, float(probability)))

    @cache
    def depth(one: str) -> int:
        return 1 + max((depth(p) for dam, sire, _ in parents.get(one, []) for p in (dam, sire)), default=0)

    @cache
    def kinship(a: str, b: str) -> float:
        if depth(a) < depth(b):
            a, b = b, a
        pairs = parents.get(a, [])
        if a == b:
            return (1 + sum(share * kinship(dam, sire) for dam, sire, share in pairs)) / 2
        return sum(share * (kinship(dam, b) + kinship(sire, b)) / 2 for dam, sire, share in pairs)

    matrix = np.zeros((len(numbers), len(numbers)))
    for i, j in combinations_with_replacement(range(len(numbers)), 2):
        matrix[i, j] = matrix[j, i] = kinship(numbers[i], numbers[j])
    return matrix


def test_kinship_of_the_register_is_that_of_the_textbook(river: SimpleNamespace) -> None:
    fish = keys()
    pedigree = pedigree_of(fish.values())
    np.testing.assert_allclose(kinship_among(pedigree, list(fish.values())), textbook(list(fish)), atol=1e-12)


def test_pooled_sibs_are_as_close_as_half_of_them_had_one_father(river: SimpleNamespace) -> None:
    fish = keys()
    kinship = kinship_among(pedigree_of(fish.values()), [fish["P1"], fish["P2"]])
    # Same dam 1/8; the same sire with probability 1/2, another 1/8 (from memory: half sibs 1/8, full sibs 1/4).
    assert kinship[0, 1] == pytest.approx(1 / 8 + 1 / 8 / 2)


@pytest.mark.parametrize(("draw", "kinship"), [("each", 1 / 8), ("shared", 1 / 4)])
def test_sibs_of_one_unknown_pair_are_full_sibs_and_sibs_of_their_own_draws_are_not(
    river: SimpleNamespace, draw: str, kinship: float
) -> None:
    """F1 × M1 or F2 × M2, even chances: one pair for all makes full sibs, 1/4; else only half the time, 1/8."""
    with write.entry(river.by, "fish admitted", permission=ENTER, subject="fish") as made:
        parentage = made.add(Parentage(basis="sheet", draw=draw))
        for dam, sire in (("F1", "M1"), ("F2", "M2")):
            pair = {"dam": river.fish[dam], "sire": river.fish[sire]}
            made.add(ParentPair(parentage=parentage, probability=HALF, **pair))
        sibs = [made.add(Fish(number=number)) for number in ("S1", "S2")]
        for one in sibs:
            made.add(FishDetails(fish=one, parentage=parentage))
    keys = [one.pk for one in sibs]
    assert kinship_among(pedigree_of(keys), keys)[0, 1] == pytest.approx(kinship)


def test_a_pedigree_holds_the_fish_asked_for_and_their_ancestors_only(river: SimpleNamespace) -> None:
    fish = keys()
    held = set(pedigree_of([fish["Y1"]]).ids)
    assert held == {fish["Y1"], fish["F1"], fish["M1"]}


def test_sibs_that_never_bred_are_one_entry_with_their_number(river: SimpleNamespace) -> None:
    stock = Stock.objects.get(name=STOCK)
    found = stock_pedigree(stock, [])
    grouped = {key: n for key, n in found.living.items() if isinstance(key, tuple)}
    assert sorted(grouped.values()) == [1, 1, 1, 2]
    assert found.count == len(keys())


def test_sib_groups_are_kin_to_others_as_their_fish_are_one_by_one(river: SimpleNamespace) -> None:
    fish = keys()
    grouped = stock_pedigree(Stock.objects.get(name=STOCK), [fish["P2"]])
    singly = pedigree_of(fish.values())
    of_pooled = FishDetails.objects.current().get(fish__number="P3").parentage_id
    others = [fish[number] for number in ("F1", "F2", "M1", "M2", "P1", "P2", "Y2")]
    with_group = kinship_among(grouped.pedigree, [("sibs", of_pooled), *others])
    with_fish = kinship_among(singly, [fish["P3"], *others])
    np.testing.assert_allclose(with_group, with_fish, atol=1e-12)


def test_fish_that_are_gone_are_not_among_the_living(river: SimpleNamespace) -> None:
    stock, fish = Stock.objects.get(name=STOCK), keys()
    record_departure(river.by, Departure(fish="P3", left="died", left_on=Day(date(2021, 1, 1))))
    record_departure(river.by, Departure(fish="F1", left="died", left_on=Day(date(2021, 1, 1))))
    found = stock_pedigree(stock, [])
    assert found.count == len(fish) - 2
    assert fish["F1"] not in found.living
    assert fish["F1"] in found.pedigree.ids


def test_the_species_own_ploidy_is_taken_unless_another_is_asked_for(river: SimpleNamespace) -> None:
    stock = Stock.objects.get(name=STOCK)
    assert set(stock_pedigree(stock, []).pedigree.ploidy.tolist()) == {stock.species.ploidy}
    assert set(stock_pedigree(stock, [], ploidy=4).pedigree.ploidy.tolist()) == {4}


def test_all_ancestors_are_found_in_one_question(river: SimpleNamespace) -> None:
    fish = keys()
    with CaptureQueriesContext(connection) as asked:
        pedigree = pedigree_of([fish["Z1"]])
    assert len(asked) == 1
    assert set(pedigree.ids) == {fish[number] for number in ("Z1", "P1", "Y2", "F1", "F2", "M1", "M2")}


def test_more_sibs_cost_no_more_queries(river: SimpleNamespace) -> None:
    stock = Stock.objects.select_related("species").get(name=STOCK)
    with CaptureQueriesContext(connection) as few:
        stock_pedigree(stock, [])
    young = tuple(Admission(number=f"Y{n}") for n in range(10, 40))
    register_individuals(river.by, Registration(batch="B1", moved_on=date(2011, 5, 1), fish=young))
    with CaptureQueriesContext(connection) as many:
        found = stock_pedigree(stock, [])
    assert (len(many), found.count) == (len(few), len(keys()))
