"""Inbreeding by generation under regular systems of mating, and kinship of named relations.

Source: Wright 1921, Systems of mating, Genetics 6: 111-178; Falconer and Mackay 1996, Introduction to quantitative
genetics, table 5.1 and the kinships of chapter 9. The series follow from the recurrences given with each.
"""

import pytest

from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_between
from breeding.genetics.pedigree import ParentRow, build_pedigree

GENERATIONS = (1, 2, 3, 4, 5, 6, 8, 10)
# F = ½(1 + F'), ¼(1 + 2F' + F''), ⅛(1 + 6F' + F''), ¼(1 + 2F')
SELFING = (0.5, 0.75, 0.875, 0.9375, 0.96875, 0.984375, 0.996094, 0.999023)
FULL_SIBS = (0.25, 0.375, 0.5, 0.59375, 0.671875, 0.734375, 0.826172, 0.886230)
HALF_SIBS = (0.125, 0.21875, 0.304688, 0.380859, 0.448730, 0.509155, 0.610863, 0.691495)
BACKCROSS = (0.25, 0.375, 0.4375, 0.46875, 0.484375, 0.492188, 0.498047, 0.499512)


def series(rows: list[ParentRow], line: str) -> list[float]:
    pedigree = build_pedigree(rows)
    found = dict(zip(pedigree.ids, inbreeding(pedigree).tolist(), strict=True))
    return [found[line, t] for t in GENERATIONS]


def test_selfing():
    rows = [ParentRow(("a", t), ("a", t - 1), ("a", t - 1)) for t in range(1, 11)]
    assert series(rows, "a") == pytest.approx(SELFING, abs=6e-7)


def test_full_sib_mating():
    rows = [ParentRow((sex, t), ("f", t - 1), ("m", t - 1)) for t in range(11) for sex in "fm"]
    assert series(rows, "f") == pytest.approx(FULL_SIBS, abs=6e-7)


def test_one_male_with_his_half_sisters():
    """Every fish of a generation is by one male, each of another dam; one dam fewer each time."""
    rows = [ParentRow(("f", t, dam), ("f", t - 1, dam), ("m", t - 1)) for t in range(11) for dam in range(12 - t)]
    rows += [ParentRow(("m", t), ("f", t - 1, 12 - t), ("m", t - 1)) for t in range(11)]
    assert series(rows, "m") == pytest.approx(HALF_SIBS, abs=6e-7)


def test_backcrossing_to_one_fish():
    rows = [ParentRow(("b", t), ("b", t - 1), "A") for t in range(11)]
    assert series(rows, "b") == pytest.approx(BACKCROSS, abs=6e-7)


# A × B → S1, S2;  S1 × C → H1, S2 × D → H2 (first cousins);  A × E → P (half sib of S1);  X1, X2 = full sibs of other
# founders crossed with S1, S2 → double first cousins;  and so on.
FAMILY = [
    ParentRow("S1", "A", "B"),
    ParentRow("S2", "A", "B"),
    ParentRow("P", "A", "E"),
    ParentRow("H1", "S1", "C"),
    ParentRow("H2", "S2", "D"),
    ParentRow("H3", "P", "G"),
    ParentRow("Q1", "H1", "I"),
    ParentRow("Q2", "H2", "J"),
    ParentRow("X1", "K", "L"),
    ParentRow("X2", "K", "L"),
    ParentRow("D1", "S1", "X1"),
    ParentRow("D2", "S2", "X2"),
    ParentRow("Z", "D1", "D2"),
]


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        ("S1", "A", 1 / 4),  # parent
        ("S1", "S2", 1 / 4),  # full sibs
        ("S1", "P", 1 / 8),  # half sibs
        ("H1", "A", 1 / 8),  # grandparent
        ("H1", "S2", 1 / 8),  # uncle
        ("D1", "D2", 1 / 8),  # double first cousins
        ("H1", "H2", 1 / 16),  # first cousins
        ("H1", "H3", 1 / 32),  # half first cousins
        ("Q1", "Q2", 1 / 64),  # second cousins
        ("A", "A", 1 / 2),  # self
        ("A", "B", 0),
        ("Z", "D1", 0.3125),  # young of double first cousins with its parent
    ],
)
def test_named_relations_have_the_kinship_of_the_textbook(a, b, expected):
    assert kinship_between(build_pedigree(FAMILY), a, b) == expected


def test_the_young_of_double_first_cousins_are_inbred_by_an_eighth():
    pedigree = build_pedigree(FAMILY)
    assert inbreeding(pedigree)[pedigree.positions(["Z"])].tolist() == [0.125]
