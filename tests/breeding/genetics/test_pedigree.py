"""One pedigree, from rows or arrays, in any order, without loops."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breeding.genetics.errors import CycleError, InheritanceError, PedigreeError
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.pedigree import ParentRow, build_pedigree, pedigree_from_arrays
from tests.breeding.genetics.plain import pedigrees


def test_a_parent_without_a_row_is_a_founder():
    pedigree = build_pedigree([ParentRow("Ida", "Ada", "Bo"), ParentRow("Jon", "Ida", None)])
    assert pedigree.ids == ("Ida", "Jon", "Ada", "Bo")
    assert pedigree.own_rows == 2
    assert [pedigree.ids[fish] for fish in pedigree.founders()] == ["Ada", "Bo"]


def test_a_loop_is_named_fish_by_fish():
    rows = [ParentRow("a", "b", None), ParentRow("b", None, "c"), ParentRow("c", "a", "x"), ParentRow("d", "a", "b")]
    with pytest.raises(CycleError, match="A fish is its own ancestor") as refusal:
        build_pedigree(rows)
    loop = refusal.value.fish
    assert set(loop) == {"a", "b", "c"}
    parents = {row.fish: {row.dam, row.sire} for row in rows}
    assert all(one in parents[following] for one, following in zip(loop, [*loop[1:], loop[0]], strict=True))


def test_a_fish_that_is_its_own_parent_is_named():
    with pytest.raises(CycleError, match=r"its own ancestor: a → a\. Correct the parents"):
        build_pedigree([ParentRow("a", "a", None)])


def test_a_loop_through_a_shared_draw_is_named():
    rows = [ParentRow("x", "d", "a", draw="jar"), ParentRow("d", "x", None)]
    with pytest.raises(CycleError, match="A fish is its own ancestor") as refusal:
        build_pedigree(rows)
    assert set(refusal.value.fish) == {"x", "d"}


@given(rows=pedigrees())
def test_breeders_come_after_their_parents(rows):
    pedigree = build_pedigree(rows)
    breeders = pedigree.breeders
    for row, line in enumerate(breeders.line):
        assert (breeders.weights[[line]].indices < row).all()


@given(rows=pedigrees())
def test_ancestors_are_those_of_a_graph_library(rows):
    graph = build_pedigree(rows).graph()
    parents = {row.fish: {row.dam, row.sire} - {None} for row in rows}
    for fish in parents:
        expected, waiting = set(), [fish]
        while waiting:
            new = parents[waiting.pop()] - expected
            expected |= new
            waiting += new
        assert nx.ancestors(graph, fish) == expected


def test_the_graph_says_how_likely_a_parent_is():
    graph = build_pedigree([ParentRow("x", "d", "a", 0.75), ParentRow("x", "d", "b", 0.25)]).graph()
    assert {(a, b): value for a, b, value in graph.edges.data("probability")} == {
        ("d", "x"): 1.0,
        ("a", "x"): 0.75,
        ("b", "x"): 0.25,
    }


@given(rows=pedigrees())
def test_arrays_give_the_same_pedigree_as_rows(rows):
    unknown = len(rows)
    dam, sire = (
        np.array([unknown if parent is None else parent for parent in parents], dtype=int)
        for parents in zip(*((row.dam, row.sire) for row in rows), strict=True)
    )
    from_rows, from_arrays = build_pedigree(rows), pedigree_from_arrays(dam, sire)
    assert (inbreeding(from_rows) == inbreeding(from_arrays)).all()
    assert from_rows.founders().tolist() == from_arrays.founders().tolist()


@given(count=st.integers(2, 40))
def test_full_sibs_are_one_family(count):
    rows = [ParentRow(fish, "Ada", "Bo") for fish in range(count)]
    assert len(build_pedigree(rows).families) == 2  # theirs, and that of founders


@pytest.mark.parametrize("parents", [[-1, 2], [0, 3]])
def test_positions_outside_of_the_pedigree_are_refused(parents):
    with pytest.raises(PedigreeError, match="positions from 0 to 1, or 2 where unknown"):
        pedigree_from_arrays(np.array(parents), np.array([2, 2]))


def test_arrays_of_different_length_are_refused():
    with pytest.raises(PedigreeError, match="There are 2 dams and 1 sires"):
        pedigree_from_arrays(np.array([2, 2]), np.array([1]))


def test_one_fish_alone_and_no_fish_at_all_are_pedigrees():
    assert inbreeding(build_pedigree([ParentRow("Ada")])).tolist() == [0.0]
    assert inbreeding(build_pedigree([])).tolist() == []


@pytest.mark.parametrize("ploidy", [1, 3, 0])
def test_a_ploidy_that_cannot_be_halved_is_refused(ploidy):
    with pytest.raises(InheritanceError, match=f"Ploidy {ploidy} cannot be halved"):
        build_pedigree([ParentRow("Ada")], ploidy=ploidy)
