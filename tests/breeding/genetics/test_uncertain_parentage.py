"""Uncertain parents: every figure is the mean over all assignments, in both meanings of a pool."""

import numpy as np
import pytest
from hypothesis import given, settings

from breeding.genetics.errors import CycleError, DrawError, ProbabilityError
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_among, kinship_between
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import WAYS, computed, expected_kinship, table, uncertain_pedigrees


def pool(*fish: str, draw: str | None = None) -> list[ParentRow]:
    return [
        row for name in fish for row in (ParentRow(name, "d", "a", 0.7, draw), ParentRow(name, "d", "b", 0.3, draw))
    ]


def test_sibs_of_pooled_milt_are_less_akin_than_sibs_of_one_unknown_male():
    # Worked by hand: 0.58 x 1/4 + 0.42 x 1/8, and 1/4.
    assert kinship_between(build_pedigree(pool("x", "y")), "x", "y") == pytest.approx(0.1975, abs=1e-15)
    assert kinship_between(build_pedigree(pool("x", "y", draw="night 3")), "x", "y") == pytest.approx(0.25, abs=1e-15)


@pytest.mark.parametrize("way", WAYS)
@settings(max_examples=60)
@given(rows=uncertain_pedigrees())
def test_kinship_is_the_mean_over_all_assignments(way, rows):
    with computed(way):
        pedigree = build_pedigree(rows)
        found = kinship_among(pedigree, pedigree.ids)
    assert np.allclose(found, table(pedigree, expected_kinship(rows)), rtol=0, atol=1e-13)


@pytest.mark.parametrize("way", WAYS)
@settings(max_examples=15)
@given(rows=uncertain_pedigrees(most=5))
def test_polysomic_kinship_is_the_mean_over_all_assignments_too(way, rows):
    with computed(way):
        pedigree = build_pedigree(rows, ploidy=4, double_reduction=0.1)
        found = kinship_among(pedigree, pedigree.ids)
    assert np.allclose(found, table(pedigree, expected_kinship(rows, 4, 0.1)), rtol=0, atol=1e-13)


@pytest.mark.parametrize("way", WAYS)
def test_a_sure_dam_that_gives_more_than_the_possible_sires_is_weighed_by_what_she_gives(way):
    # Dam d, four gene copies, gives 2, each sire 1. By hand from Hamilton and Kerr 2018 (Theor. Appl. Genet. 131:
    # 851-860): F = [2·1·φ + 2·2·1·k(d, s)] / (3·2) with φ = 0 of a founder dam, and the mean over the sires.
    rows = [
        ParentRow("e", "d", "a", copies=(2, 1)), ParentRow("f", "d", "b", copies=(2, 1)),
        ParentRow("x", "d", "e", 0.5, copies=(2, 1)), ParentRow("x", "d", "b", 0.5, copies=(2, 1)),
        ParentRow("d", copies=(2, 2)), ParentRow("a", copies=(1, 1)), ParentRow("b", copies=(1, 1)),
    ]  # fmt: skip
    with computed(way):
        pedigree = build_pedigree(rows)
        f = dict(zip(pedigree.ids, inbreeding(pedigree), strict=True))
    # k(d, e) = 2/3 k(d, d) = 1/6, k(d, b) = 0: F of x = 4 · (1/2 · 1/6) / 6.
    assert f["x"] == pytest.approx(1 / 18, abs=1e-15)
    assert f["e"] == f["f"] == 0


def test_a_shortfall_is_an_unknown_father_if_the_mother_is_sure():
    short = build_pedigree([ParentRow("x", "d", "a", 0.5), ParentRow("x", "d", "b", 0.3)])
    told = build_pedigree(
        [ParentRow("x", "d", "a", 0.5), ParentRow("x", "d", "b", 0.3), ParentRow("x", "d", None, 0.2)]
    )
    names = ["x", "d", "a", "b"]
    assert np.allclose(kinship_among(short, names), kinship_among(told, names), rtol=0, atol=1e-16)
    assert kinship_between(short, "x", "d") == 0.25


def test_a_shortfall_is_two_unknown_parents_if_both_vary():
    short = build_pedigree([ParentRow("x", "d", "a", 0.5), ParentRow("x", "e", "b", 0.25)])
    assert kinship_among(short, ["x", "d", "e"])[0, 1:].tolist() == [0.125, 0.0625]


def test_fish_of_one_draw_share_an_unknown_father():
    shared = build_pedigree([ParentRow("x", "d", None, draw="jar 2"), ParentRow("y", "d", None, draw="jar 2")])
    apart = build_pedigree([ParentRow("x", "d", None), ParentRow("y", "d", None)])
    assert kinship_between(shared, "x", "y") == 0.25
    assert kinship_between(apart, "x", "y") == 0.125


def test_a_wild_clutch_of_unknown_parents_is_a_family_of_full_sibs():
    clutch = build_pedigree([ParentRow("x", draw="redd 1"), ParentRow("y", draw="redd 1"), ParentRow("z", "x", "y")])
    assert kinship_between(clutch, "x", "y") == 0.25
    assert dict(zip(clutch.ids, inbreeding(clutch), strict=True)) == {"x": 0, "y": 0, "z": 0.25}


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([ParentRow("x", "d", "a", 0.7), ParentRow("x", "d", "b", 0.7)], "of x add up to 1.4, more than 1"),
        ([ParentRow("x", "d", "a"), ParentRow("x", "d", "b")], "of x add up to 2, more than 1"),
        ([ParentRow("x", "d", "a", 0.0)], "has probability 0. It must be above 0"),
        ([ParentRow("x", "d", "a", float("nan"))], "has probability nan. It must be above 0"),
        ([ParentRow("x", "d", "a", -0.5)], "has probability -0.5"),
    ],
)
def test_impossible_probabilities_are_refused(rows, sentence):
    with pytest.raises(ProbabilityError, match=sentence) as refusal:
        build_pedigree(rows)
    assert refusal.value.fish == ["x"]


def test_thirds_that_a_person_rounded_count_as_one():
    rows = [ParentRow("x", "d", sire, 0.3333333333) for sire in "abc"]
    assert kinship_between(build_pedigree(rows), "x", "a") == pytest.approx(1 / 12, abs=1e-15)


def test_fish_of_one_draw_that_list_different_fathers_are_refused():
    rows = [*pool("x", draw="night 3"), ParentRow("y", "d", "a", 1.0, "night 3")]
    with pytest.raises(DrawError, match="y and x share the draw night 3 but do not list the same pairs"):
        build_pedigree(rows)


def test_rows_of_one_fish_that_name_different_draws_are_refused():
    with pytest.raises(DrawError, match="rows of x name different draws"):
        build_pedigree([ParentRow("x", "d", "a", 0.5, "one"), ParentRow("x", "d", "b", 0.5, "two")])


def test_a_fish_among_its_own_possible_parents_is_refused():
    with pytest.raises(CycleError, match="its own ancestor: x → x"):
        build_pedigree([ParentRow("x", "d", "a", 0.5), ParentRow("x", "d", "x", 0.5)])
