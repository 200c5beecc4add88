"""Founders that are related, as markers have shown."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breeding.genetics.diversity import group_coancestry
from breeding.genetics.errors import FounderKinshipError
from breeding.genetics.founder_kinship import nearest_kinship
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import WAYS, computed, pedigrees

CROSS = [ParentRow("x", "Ada", "Bo"), ParentRow("Cy")]


@pytest.mark.parametrize("way", WAYS)
@given(rows=pedigrees(), data=st.data())
def test_related_founders_are_as_good_as_their_own_ancestors(way, rows, data):
    """Cut a pedigree below its top: the kinship of the cut fish, given as founders, restores all others'."""
    whole = build_pedigree(rows)
    cut = data.draw(st.integers(1, len(rows)))
    top = [row.fish for row in rows[:cut]]
    lower = [ParentRow(fish) for fish in top] + list(rows[cut:])
    with computed(way):
        part = build_pedigree(lower, founder_kinship=(top, kinship_among(whole, top)))
        assert kinship_among(part, part.ids) == pytest.approx(kinship_among(whole, part.ids), abs=1e-13)
        assert inbreeding(part) == pytest.approx(inbreeding(whole)[whole.positions(part.ids)], abs=1e-13)
        assert group_coancestry(part) == pytest.approx(group_coancestry(whole), abs=1e-13)
    assert part.founder_kinship.largest_change == 0


def test_a_matrix_that_no_population_has_is_mended_and_the_change_told():
    """Ada close to Bo and Bo to Cy, but Ada a stranger to Cy: no population is like that."""
    given_ = np.array([[0.5, 0.45, 0.0], [0.45, 0.5, 0.45], [0.0, 0.45, 0.5]])
    assert np.linalg.eigvalsh(given_).min() < 0
    pedigree = build_pedigree(CROSS, founder_kinship=(["Ada", "Bo", "Cy"], given_))
    mended = pedigree.founder_kinship
    assert np.linalg.eigvalsh(mended.matrix).min() > -1e-12
    assert np.diag(mended.matrix) == pytest.approx([0.5] * 3)
    assert mended.largest_change == pytest.approx(np.abs(mended.matrix - given_).max())
    assert mended.largest_change > 0.01


@given(st.lists(st.floats(0, 0.5), min_size=6, max_size=6))
def test_the_mended_matrix_is_always_one_of_a_population(values):
    matrix = np.zeros((4, 4))
    matrix[np.triu_indices(4, 1)] = values
    matrix = matrix + matrix.T + np.eye(4) / 2
    mended = nearest_kinship(matrix)
    assert np.linalg.eigvalsh(mended).min() > -1e-9
    assert np.diag(mended) == pytest.approx([0.5] * 4)


@pytest.mark.parametrize(
    ("names", "matrix", "sentence"),
    [
        (["Ada", "Bo"], [[0.5]], r"2 founders need a square of that size, not \(1, 1\)"),
        (["Ada", "x"], [[0.5, 0], [0, 0.5]], "x has a known parent, so its kinship follows from the pedigree"),
        (["Ada", "Ada"], [[0.5, 0], [0, 0.5]], "A founder is named twice"),
        (["Ada", "Bo"], [[0.5, np.nan], [0, 0.5]], "A founder kinship is not a number"),
        (["Ada", "Bo"], [[0.5, 0.1], [0.2, 0.5]], "Kinship of Ada with Bo is 0.1 one way and 0.2 the other"),
        (["Ada", "Bo"], [[0.4, 0], [0, 0.5]], r"Ada with itself is 0.4. It must lie from 0.5 \(not inbred\) to 1"),
        (["Ada", "Bo"], [[0.5, -0.1], [-0.1, 0.5]], "Ada with Bo is -0.1. It must lie from 0 to 0.5"),
        (["Ada", "Bo"], [[0.5, 0.6], [0.6, 0.5]], "Ada with Bo is 0.6. It must lie from 0 to 0.5"),
    ],
)
def test_impossible_founder_kinships_are_refused(names, matrix, sentence):
    with pytest.raises(FounderKinshipError, match=sentence):
        build_pedigree(CROSS, founder_kinship=(names, np.array(matrix, dtype=float)))
