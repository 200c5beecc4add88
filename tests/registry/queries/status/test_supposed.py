"""How much unknown parents may hide: worked by hand for half sibs, full sibs, and young of one cohort."""

from collections.abc import Callable
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.operations.shared.entries import Pair
from registry.queries.status.supposed import COHORT, UNRELATED, WORST, Supposed
from tests.registry.queries.status.conftest import found
from tests.registry.queries.status.test_figures import admit


def told() -> dict[str, Supposed]:
    return {one.label: one for one in found().supposed}


def test_nothing_is_supposed_where_every_parent_is_known(river: SimpleNamespace) -> None:
    admit(river.by, "P", 2010, Pair("F1", "M1"))
    assert told() == {}


def test_two_fish_of_unknown_sires_may_be_half_sibs(river: SimpleNamespace, leave: Callable[[str, int], None]) -> None:
    """F1 × ? → P, F2 × ? → Q; the founders are dead.

    Unrelated sires: two selves of 1/2 of four pairs, 1/4. One male for both: half sibs 1/8 besides (Falconer and Mackay
    1996), 5/16.
    """
    admit(river.by, "P", 2010, Pair("F1", None))
    admit(river.by, "Q", 2011, Pair("F2", None))
    for number in ("F1", "F2", "M1", "M2"):
        leave(number, 2014)
    under = told()
    assert under[UNRELATED].mean_kinship == pytest.approx(1 / 4)
    assert under[COHORT].mean_kinship == pytest.approx(1 / 4)  # no sire is known in their years
    assert under[WORST].mean_kinship == pytest.approx(5 / 16)
    assert under[WORST].gene_diversity == pytest.approx(11 / 16)


def test_an_unknown_sire_is_as_related_as_those_of_its_year(
    river: SimpleNamespace, leave: Callable[[str, int], None]
) -> None:
    """F1 × M1 → P, F2 × ? → Q, both of 2010.

    If the sire of Q is an average sire of 2010, it is M1, and P and Q are half sibs.
    """
    admit(river.by, "P", 2010, Pair("F1", "M1"))
    admit(river.by, "Q", 2010, Pair("F2", None))
    for number in ("F1", "F2", "M1", "M2"):
        leave(number, 2014)
    under = told()
    assert under[UNRELATED].mean_kinship == pytest.approx(1 / 4)
    assert under[COHORT].mean_kinship == pytest.approx(5 / 16)
    assert under[WORST].mean_kinship == pytest.approx(5 / 16)


def test_the_worst_case_takes_the_sire_most_related_to_the_living(
    river: SimpleNamespace, leave: Callable[[str, int], None]
) -> None:
    """F1 × M1 → P, R; F1 × M2 → S; F2 × ? → Q, all of 2010. M1 has two young that live, M2 one.

    With M1 as its sire Q is a half sib of two (half sibs then: P–S, R–S, Q–P, Q–R; full sibs: P–R), on average of one
    and a half.
    """
    for number, pair in (("P", ("F1", "M1")), ("R", ("F1", "M1")), ("S", ("F1", "M2")), ("Q", ("F2", None))):
        admit(river.by, number, 2010, Pair(*pair))
    for number in ("F1", "F2", "M1", "M2"):
        leave(number, 2014)
    selves, full = 4 / 2, 2 / 4
    under = told()
    assert under[WORST].mean_kinship == pytest.approx((selves + full + 2 * 4 / 8) / 16)
    assert under[COHORT].mean_kinship == pytest.approx((selves + full + 2 * 3.5 / 8) / 16)


def test_the_young_of_a_fish_and_its_unknown_half_sib_are_inbred(
    river: SimpleNamespace, leave: Callable[[str, int], None]
) -> None:
    # P and Q as above, with unknown sires, and Z of P × Q: F of the young of half sibs is 1/8, if the sires were one.
    admit(river.by, "P", 2004, Pair("F1", None), sex="F")
    admit(river.by, "Q", 2005, Pair("F2", None), sex="M")
    admit(river.by, "Z", 2012, Pair("P", "Q"))
    for number in ("F1", "F2", "M1", "M2", "P", "Q"):
        leave(number, 2014)
    assert [one.inbreeding for one in found().supposed] == pytest.approx([0, 0, 1 / 8])


def test_both_meanings_of_a_shortfall_are_supposed(river: SimpleNamespace, leave: Callable[[str, int], None]) -> None:
    # P: F1 and M1 with one half, else both unknown; Q as P. Unrelated founders leave 1/4 · 1/4 by F1 and M1. If the
    # unknown pair is the known one, as no other is known of that year, P and Q are full sibs for sure.
    half = (Pair("F1", "M1", Decimal("0.5")), Pair(None, None, Decimal("0.5")))
    for number in "PQ":
        admit(river.by, number, 2010, *half)
    for number in ("F1", "F2", "M1", "M2"):
        leave(number, 2014)
    under = told()
    assert under[UNRELATED].mean_kinship == pytest.approx((2 / 2 + 2 / 16) / 4)
    assert under[WORST].mean_kinship == pytest.approx((2 / 2 + 2 / 4) / 4)
