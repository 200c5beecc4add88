"""Kinship and inbreeding under polysomic inheritance.

Source: recurrences of Kerr et al. 2012 (Theor. Appl. Genet. 124: 1271-1282) and Hamilton and Kerr 2018 (Theor. Appl.
Genet. 131: 851-860), worked by hand; the rows without double reduction also by 200,000 simulated draws. Selfing of
tetraploids, 1 - (5/6)^t, after Kempthorne 1957 (from memory).
"""

import numpy as np
import pytest

from breeding.genetics.inbreeding import inbreeding, inbreeding_of_young
from breeding.genetics.kinship import kinship_among, kinship_between, self_kinship
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.reasons import relatives

# P and Q full sibs of D × S, H paternal half-sib of P, X = P × Q, Y = P × H.
CROSSES = [
    ParentRow("P", "D", "S"),
    ParentRow("Q", "D", "S"),
    ParentRow("H", "O", "S"),
    ParentRow("X", "P", "Q"),
    ParentRow("Y", "P", "H"),
]
# 1 × 2 → 3, 4;  3 × 4 → 5;  3 selfed → 6;  1 × 5 → 7.
SMALL = [ParentRow(3, 1, 2), ParentRow(4, 1, 2), ParentRow(5, 3, 4), ParentRow(6, 3, 3), ParentRow(7, 1, 5)]


def kinships(rows, pairs, **inheritance):
    pedigree = build_pedigree(rows, **inheritance)
    return [kinship_between(pedigree, a, b) for a, b in pairs]


def inbreedings(rows, fish, **inheritance):
    pedigree = build_pedigree(rows, **inheritance)
    return inbreeding(pedigree)[pedigree.positions(fish)].tolist()


def test_tetraploids_without_double_reduction():
    pairs = [("S", "S"), ("P", "Q"), ("P", "H"), ("P", "P"), ("X", "X"), ("X", "P")]
    assert kinships(CROSSES, pairs, ploidy=4) == pytest.approx([0.25, 0.125, 0.0625, 0.25, 0.3125, 0.1875], abs=1e-12)
    assert inbreedings(CROSSES, "PXY", ploidy=4) == pytest.approx([0, 1 / 12, 1 / 24], abs=1e-12)


def test_tetraploids_with_double_reduction_of_a_seventh_from_founders_without_it():
    """The founders here are not at rest (F = 0), so their double reduction is told as 0 on rows of their own."""
    founders = [ParentRow(name, double_reduction=(0.0, 0.0)) for name in "DSO"]
    rows = [*founders, *CROSSES]
    with_reduction = {"ploidy": 4, "double_reduction": 1 / 7}
    pairs = [("S", "S"), ("P", "Q"), ("P", "H"), ("P", "P"), ("X", "X"), ("X", "P")]
    expected = [0.25, 0.125, 0.0625, 0.285714, 0.358418, 0.205357]
    assert kinships(rows, pairs, **with_reduction) == pytest.approx(expected, abs=5e-7)
    assert inbreedings(rows, "PXY", **with_reduction) == pytest.approx([0.047619, 0.144558, 0.102891], abs=5e-7)


@pytest.mark.parametrize(
    ("double_reduction", "expected"),
    [
        (0, [0, 0, 0, 0, 1 / 12, 1 / 6, 7 / 72]),
        (0.1, [1 / 21, 1 / 21, 1 / 21, 1 / 21, 1 / 7, 5 / 21, 0.15714285714285714]),
    ],
)
def test_small_tetraploid_pedigree(double_reduction, expected):
    found = inbreedings(SMALL, range(1, 8), ploidy=4, double_reduction=double_reduction)
    assert found == pytest.approx(expected, abs=1e-12)


def test_kinships_of_the_small_tetraploid_pedigree():
    assert kinships(SMALL, [(1, 3), (3, 4), (1, 5), (5, 5)], ploidy=4) == pytest.approx([0.125] * 3 + [0.3125])
    reduced = kinships(SMALL, [(1, 1), (3, 3), (3, 4)], ploidy=4, double_reduction=0.1)
    assert reduced == pytest.approx([2 / 7, 2 / 7, 1 / 7])


def test_complete_equational_segregation_of_tetraploids():
    assert inbreedings(SMALL, [1, 5], ploidy=4, double_reduction=1 / 6) == pytest.approx([1 / 13, 7 / 39])


@pytest.mark.parametrize(
    ("inheritance", "of_sibs", "of_young"),
    [((2, 0.0), 1 / 4, 1 / 4), ((4, 0.0), 1 / 8, 1 / 12), ((4, 0.1), 1 / 7, 1 / 7), ((6, 0.1), 0.109375, 0.128125)],
)
def test_what_figures_are_compared_with(inheritance, of_sibs, of_young):
    *_, half, full = relatives(*inheritance)
    assert full == ("full sibs", pytest.approx(of_sibs), pytest.approx(of_young))
    assert half.kinship == pytest.approx(of_sibs / 2)


@pytest.mark.parametrize("inheritance", [{}, {"ploidy": 4, "double_reduction": 0.1}, {"ploidy": 6}])
def test_the_young_of_a_pair_are_as_inbred_as_if_they_stood_in_the_pedigree(inheritance):
    pairs = [("P", "Q"), ("P", "H"), ("X", "Y"), ("X", "S")]
    young = [ParentRow(number, *pair) for number, pair in enumerate(pairs)]
    pedigree = build_pedigree([*CROSSES, *young], **inheritance)
    at = pedigree.positions(name for pair in pairs for name in pair).reshape(-1, 2)
    kinship = np.array([kinship_among(pedigree, pair) for pair in pairs])
    expected = inbreeding(pedigree)[pedigree.positions(range(len(pairs)))]
    assert inbreeding_of_young(pedigree, at, kinship) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("double_reduction", "founder", "inbred", "sibs"), [(0, 0, 0.05, 1 / 12), (0.1, 0.0625, 0.128125, 0.109375)]
)
def test_hexaploid_full_sibs_mated(double_reduction, founder, inbred, sibs):
    inheritance = {"ploidy": 6, "double_reduction": double_reduction}
    assert inbreedings(SMALL, [1, 5], **inheritance) == pytest.approx([founder, inbred])
    assert kinships(SMALL, [(3, 4)], **inheritance) == pytest.approx([sibs])


def test_selfing_of_tetraploids():
    rows = [ParentRow(t, t - 1, t - 1) for t in range(1, 6)]
    expected = [0.166667, 0.305556, 0.421296, 0.517747, 0.598122]
    assert inbreedings(rows, range(1, 6), ploidy=4) == pytest.approx(expected, abs=5e-7)


@pytest.mark.parametrize(
    ("ploidy", "expected"),
    [
        (2, [0.25, 0.375, 0.5, 0.59375, 0.671875]),
        (4, [0.083333, 0.152778, 0.217593, 0.277392, 0.332626]),
        (8, [0.035714, 0.068878, 0.100948, 0.131911, 0.161809]),
    ],
)
def test_full_sib_mating_at_any_ploidy(ploidy, expected):
    rows = [ParentRow((sex, t), ("f", t - 1), ("m", t - 1)) for t in range(6) for sex in "fm"]
    found = inbreedings(rows, [("f", t) for t in range(1, 6)], ploidy=ploidy)
    assert found == pytest.approx(expected, abs=5e-7)


def test_a_diploid_and_a_tetraploid_have_triploid_young():
    rows = [
        ParentRow("m", copies=(1, 1)),
        ParentRow("f", copies=(2, 2)),
        ParentRow("x", "f", "m", copies=(2, 1)),
        ParentRow("y", "f", "m", copies=(2, 1)),
    ]
    assert kinships(rows, [("x", "m"), ("x", "f"), ("x", "y"), ("x", "x")]) == pytest.approx([1 / 6] * 3 + [1 / 3])
    assert inbreedings(rows, ["x"]) == pytest.approx([0])


@pytest.mark.parametrize(("double_reduction", "expected"), [(0.0, 0.5), (1.0, 1.0)])
def test_a_diploid_gynogen_of_a_founder(double_reduction, expected):
    row = ParentRow("g", "f", copies=(2, 0), double_reduction=(double_reduction, 0.0))
    assert self_kinship(build_pedigree([row])).tolist() == [expected, 0.5]
