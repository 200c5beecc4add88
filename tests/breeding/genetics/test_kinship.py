"""Kinship equals its textbook definition, however it is computed."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breeding.genetics import kinship
from breeding.genetics.errors import TooLargeError, UnknownFishError
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_among, kinship_between, self_kinship
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import WAYS, certain_kinship, computed, pedigrees, table

# 1 × 2 → 3, 4;  3 × 4 → 5;  1 × 5 → 6;  unknown × 5 → 7.  Worked by hand.
SMALL = [ParentRow(3, 1, 2), ParentRow(4, 1, 2), ParentRow(5, 3, 4), ParentRow(6, 1, 5), ParentRow(7, None, 5)]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [(3, 4, 0.25), (3, 5, 0.375), (5, 5, 0.625), (1, 6, 0.375), (6, 6, 0.625), (5, 7, 0.3125), (6, 7, 0.21875)],
)
def test_two_fish_have_the_kinship_worked_out_by_hand(way, a, b, expected):
    with computed(way):
        assert kinship_between(build_pedigree(SMALL), a, b) == expected


@pytest.mark.parametrize("way", WAYS)
@given(rows=pedigrees(selfing=True))
def test_kinship_is_that_of_the_definition(way, rows):
    with computed(way):
        pedigree = build_pedigree(rows)
        expected = certain_kinship({row.fish: (row.dam, row.sire) for row in rows}, {row.fish: (1, 1) for row in rows})
        assert np.allclose(kinship_among(pedigree, pedigree.ids), table(pedigree, expected), rtol=0, atol=1e-15)


@given(rows=pedigrees(), data=st.data())
def test_the_order_and_names_of_fish_do_not_matter(rows, data):
    shuffled = data.draw(st.permutations(rows))
    renamed = [
        ParentRow(*(None if name is None else f"fish {name}" for name in (row.fish, row.dam, row.sire)))
        for row in shuffled
    ]
    names = [row.fish for row in rows]
    before = kinship_among(build_pedigree(rows), names)
    after = kinship_among(build_pedigree(renamed), [f"fish {name}" for name in names])
    assert (before == after).all()


@pytest.mark.parametrize("way", WAYS)
@given(rows=pedigrees(), data=st.data())
def test_kinship_of_some_fish_is_a_part_of_that_of_all(way, rows, data):
    names = [row.fish for row in rows]
    some = data.draw(st.lists(st.sampled_from(names), min_size=1))
    every = kinship_among(build_pedigree(rows), names)
    with computed(way):
        part = kinship_among(build_pedigree(rows), some)
    assert (part == every[np.ix_(some, some)]).all()


@given(rows=pedigrees())
def test_kinship_is_symmetric_bounded_and_positive_semidefinite(rows):
    pedigree = build_pedigree(rows)
    found = kinship_among(pedigree, pedigree.ids)
    alone = np.diag(found)
    assert (found == found.T).all()
    assert ((alone >= 0.5) & (alone <= 1)).all()
    assert (found <= np.sqrt(np.outer(alone, alone)) + 1e-12).all()
    assert np.linalg.eigvalsh(found).min() > -1e-12


@given(rows=pedigrees(), pair=st.tuples(st.integers(0, 11), st.integers(0, 11)))
def test_new_young_change_no_kinship_of_the_others(rows, pair):
    names = [row.fish for row in rows]
    dam, sire = (parent % len(rows) for parent in pair)
    with_young = build_pedigree([*rows, ParentRow("young", dam, sire)])
    assert (kinship_among(with_young, names) == kinship_among(build_pedigree(rows), names)).all()


@given(rows=pedigrees())
def test_self_kinship_is_half_of_one_plus_inbreeding(rows):
    pedigree = build_pedigree(rows)
    assert (self_kinship(pedigree) == (1 + inbreeding(pedigree)) / 2).all()
    assert (np.diag(kinship_among(pedigree, pedigree.ids)) == self_kinship(pedigree)).all()


def test_a_fish_named_twice_is_the_same_fish():
    assert kinship_among(build_pedigree(SMALL), [7, 7]).tolist() == [[0.5, 0.5], [0.5, 0.5]]


def test_a_fish_that_is_not_in_the_pedigree_is_named():
    with pytest.raises(UnknownFishError, match="Not in the pedigree: 9, 10") as refusal:
        kinship_among(build_pedigree(SMALL), [3, 9, 10])
    assert refusal.value.fish == [9, 10]


def test_a_pedigree_beyond_the_memory_is_refused_with_its_size(monkeypatch):
    monkeypatch.setattr(kinship, "TABLE_BYTES", 8)
    monkeypatch.setattr(kinship, "FACTOR_ENTRIES", 1)
    with pytest.raises(TooLargeError, match="4 breeders are needed at once"):
        inbreeding(build_pedigree(SMALL))


@pytest.mark.parametrize("way", WAYS)
def test_a_long_line_of_selfed_fish_closes_in_on_complete_inbreeding(way):
    rows = [ParentRow(0), *(ParentRow(t, t - 1, t - 1) for t in range(1, 41))]
    with computed(way):
        found = inbreeding(build_pedigree(rows))
    assert found.tolist() == [1 - 0.5**t for t in range(41)]
