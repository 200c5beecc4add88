"""Any number of gene copies, by one recursion that is the diploid one where there are two."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breeding.genetics.errors import InheritanceError
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import WAYS, certain_kinship, computed, pedigrees, table


@pytest.mark.parametrize("way", WAYS)
@settings(max_examples=40)
@given(rows=pedigrees(), ploidy=st.sampled_from([4, 6, 8]), reduction=st.sampled_from([0.0, 0.1, 1 / 6]))
def test_polysomic_kinship_is_that_of_the_definition(way, rows, ploidy, reduction):
    with computed(way):
        pedigree = build_pedigree(rows, ploidy=ploidy, double_reduction=reduction)
        found = kinship_among(pedigree, pedigree.ids)
    half = (ploidy // 2, ploidy // 2)
    expected = certain_kinship({row.fish: row[1:3] for row in rows}, {row.fish: half for row in rows}, reduction)
    assert found == pytest.approx(table(pedigree, expected), abs=1e-13)


@given(rows=pedigrees())
def test_diploid_inheritance_told_row_by_row_is_the_default(rows):
    told = [row._replace(copies=(1, 1), double_reduction=(0.0, 0.0)) for row in rows]
    assert (inbreeding(build_pedigree(told)) == inbreeding(build_pedigree(rows))).all()


@given(rows=pedigrees())
def test_double_reduction_means_nothing_in_diploids(rows):
    assert (inbreeding(build_pedigree(rows, double_reduction=0.2)) == inbreeding(build_pedigree(rows))).all()


def test_a_clone_is_its_parent():
    pedigree = build_pedigree([ParentRow("x", "d", "s"), ParentRow("clone", "x", copies=(2, 0))])
    found = kinship_among(pedigree, ["x", "clone", "d"])
    assert found[0].tolist() == [0.5, 0.5, 0.25]
    assert found[1].tolist() == [0.5, 0.5, 0.25]


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([ParentRow("x", "d", "s", copies=(3, 1))], "Dam d is said to give 3 gene copies to x, more than it has"),
        ([ParentRow("x", "d", "s", copies=(1, 3))], "Sire s is said to give 3 gene copies to x, more than it has"),
        ([ParentRow("x", "d", "s", copies=(1, 0))], r"x would have 1 \+ 0 gene copies. It needs two or more"),
        ([ParentRow("x", "d", "s", copies=(-1, 3))], r"x would have -1 \+ 3 gene copies"),
        ([ParentRow("x", "d", "s", double_reduction=(1.5, 0))], "Double reduction of x is 1.5 and 0"),
        (
            [ParentRow("x", "d", "s", 0.5, copies=(2, 1)), ParentRow("x", "d", "t", 0.5)],
            "rows of x disagree on gene copies or double reduction",
        ),
    ],
)
def test_impossible_inheritance_is_refused(rows, sentence):
    with pytest.raises(InheritanceError, match=sentence):
        build_pedigree(rows)


def test_impossible_double_reduction_of_all_is_refused():
    with pytest.raises(InheritanceError, match=r"Double reduction 1\.5 is impossible"):
        build_pedigree([ParentRow("x")], ploidy=4, double_reduction=1.5)
