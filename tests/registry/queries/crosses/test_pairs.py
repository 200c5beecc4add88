"""How close pairs are and what they do to the stock, against values computed here from the definition."""

from decimal import Decimal

import numpy as np
import pytest
from django.utils import timezone

from registry.models import Fish, Stock
from registry.queries.crosses.candidates import ready, season_of
from registry.queries.crosses.pairs import kinship_of_pairs, past_of, proposals
from registry.queries.known import Named, known
from tests.support.broodstock import STOCK, broodstock, check, plan_of, young

pytestmark = pytest.mark.django_db

# fish: (dam, sire); the broodstock of tests/support/broodstock.py
PEDIGREE = {
    "F1": None, "F2": None, "M1": None, "M2": None,
    "D1": ("F1", "M1"), "D2": ("F1", "M1"), "H1": ("F2", "M1"),
}  # fmt: skip


def tabular(pedigree):
    """Kinship of all by the tabular rule (Emik & Terrill 1949): f(i,j) = ½ [f(dam, j) + f(sire, j)], parents first."""
    names = list(pedigree)
    f = np.zeros((len(names), len(names)))
    for i, name in enumerate(names):
        f[i, i] = 0.5
        if pedigree[name]:
            dam, sire = (names.index(parent) for parent in pedigree[name])
            f[i, :i] = f[:i, i] = (f[dam, :i] + f[sire, :i]) / 2
            f[i, i] = (1 + f[dam, sire]) / 2
    return names, f


def proposed():
    stock = Stock.objects.select_related("species").get(name=STOCK)
    return proposals(stock, ready(season_of(stock, timezone.localdate())), known(Named()).policy)


def kinship(one, other):
    keys = tuple(Fish.objects.get(number=number).pk for number in (one, other))
    return kinship_of_pairs([keys])[keys]


# Falconer & Mackay 1996, Introduction to Quantitative Genetics, chapter 5 (coancestries); from memory.
@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [("D1", "D2", 1 / 4), ("F1", "D1", 1 / 4), ("D1", "H1", 1 / 8), ("F1", "M2", 0), ("D1", "D1", 1 / 2)],
)
def test_relatives_have_the_kinship_of_the_textbook(one, other, expected):
    broodstock()

    assert kinship(one, other) == expected


def test_pairs_as_close_as_half_sibs_or_closer_are_refused_with_the_figure():
    broodstock()

    refused = {(one.dam, one.sire): " ".join(one.reasons) for one in proposed().ranking.refused}

    assert set(refused) == {("D1", "D2"), ("D1", "H1"), ("D1", "M1"), ("F1", "D2"), ("F2", "H1")}
    assert "kinship 0.125 is not below the policy's limit of 0.125" in refused["D1", "H1"]
    assert "as close as half sibs" in refused["D1", "H1"]


def test_every_pair_is_either_permitted_or_refused():
    broodstock()

    ranking = proposed().ranking

    assert len(ranking.permitted) + len(ranking.refused) == 3 * 4
    assert [one.rank for one in ranking.permitted] == list(range(1, len(ranking.permitted) + 1))


def test_the_effect_on_gene_diversity_is_that_of_a_hundred_young_beside_the_living():
    broodstock()
    found = proposed()
    assert (found.living, found.young) == (7, 100)
    now = 1 - tabular(PEDIGREE)[1].mean()

    for one in found.ranking.permitted:
        with_young = PEDIGREE | {f"young {n}": (one.dam, one.sire) for n in range(100)}
        after = 1 - tabular(with_young)[1].mean()
        assert one.diversity_change == pytest.approx(after - now, abs=1e-12), (one.dam, one.sire)


def test_the_pair_of_the_two_founders_least_represented_stands_first():
    broodstock()

    best = proposed().ranking.permitted[0]

    # F2 has one young in the stock, M2 none; F1 and M1 have more.
    assert (best.dam, best.sire) == ("F2", "M2")


def test_what_was_planned_and_made_of_a_pair_is_told():
    broodstock()
    plan_of(("F1", "M2"))
    plan_of(("F2", "M2"), number="P2", signed=False)

    past = past_of(["F1", "F2"], ["M1", "M2"], timezone.localdate().year)

    assert past.plans == {("F1", "M2"): ["P1"], ("F2", "M2"): ["P2"]}
    assert past.families == {("F1", "M1"): ["10-1"], ("F2", "M1"): ["10-2"]}


def test_a_stock_without_ready_fish_has_no_pairs_and_says_so():
    broodstock()
    stock = Stock.objects.select_related("species").get(name=STOCK)

    empty = proposals(stock, [], {"max_pair_relationship": Decimal("0.25")})

    assert (empty.ranking.permitted, empty.ranking.refused) == ([], [])


def test_the_number_of_queries_does_not_grow_with_the_candidates(django_assert_max_num_queries):
    broodstock()
    with django_assert_max_num_queries(40) as before:
        proposed()
    for n in range(20):
        young(f"X{n}", "F", "10-1")
        check(f"X{n}", "IV")
    with django_assert_max_num_queries(len(before)) as after:
        assert len(proposed().females) == 23
    assert len(after) == len(before)
