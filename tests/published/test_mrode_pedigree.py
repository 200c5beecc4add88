"""Six animals, of which everything is printed.

Source: Mrode, Linear Models for the Prediction of Animal Breeding Values, 3rd edition, table 2.1 (pedigree; sires'
block of A on page 32, F of animal 5 on page 310); the whole of A worked by hand from the definition.
"""

import numpy as np
import pytest

from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import breeder_kinship, kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import WAYS, computed

# calf, dam, sire
ROWS = [ParentRow(3, 2, 1), ParentRow(4, None, 1), ParentRow(5, 3, 4), ParentRow(6, 2, 5)]
RELATIONSHIP = [
    [1.0000, 0.0000, 0.5000, 0.5000, 0.5000, 0.2500],
    [0.0000, 1.0000, 0.5000, 0.0000, 0.2500, 0.6250],
    [0.5000, 0.5000, 1.0000, 0.2500, 0.6250, 0.5625],
    [0.5000, 0.0000, 0.2500, 1.0000, 0.6250, 0.3125],
    [0.5000, 0.2500, 0.6250, 0.6250, 1.1250, 0.6875],
    [0.2500, 0.6250, 0.5625, 0.3125, 0.6875, 1.1250],
]
# Of A = T D Tᵀ. Rules that ignore inbreeding give ½ for animal 6; with F of animal 5 it is 0.46875.
RESIDUAL = {1: 1, 2: 1, 3: 0.5, 4: 0.75, 5: 0.5, 6: 0.46875}


@pytest.mark.parametrize("way", WAYS)
def test_kinship_is_half_of_the_printed_relationship(way):
    with computed(way):
        found = kinship_among(build_pedigree(ROWS), range(1, 7))
    assert (2 * found == np.array(RELATIONSHIP)).all()


def test_inbreeding_is_that_printed():
    pedigree = build_pedigree(ROWS)
    assert dict(zip(pedigree.ids, inbreeding(pedigree).tolist(), strict=True)) == {
        1: 0, 2: 0, 3: 0, 4: 0, 5: 0.125, 6: 0.125
    }  # fmt: skip


@pytest.mark.parametrize("way", WAYS)
def test_what_parents_do_not_explain_is_that_printed(way):
    pedigree = build_pedigree(ROWS)
    with computed(way):
        residual = breeder_kinship(pedigree).line_residual[pedigree.family]
    # Kinship is half of the relationship, so is its residual.
    assert dict(zip(pedigree.ids, (2 * residual).tolist(), strict=True)) == RESIDUAL


def test_a_weighted_group_meets_every_animal_as_printed():
    """Colleau's product A·x for x = 1 on animals 5 and 6 (Colleau 2002, Genet. Sel. Evol. 34: 409), worked by hand."""
    expected = [0.75, 0.875, 1.1875, 0.9375, 1.8125, 1.8125]
    found = kinship_among(build_pedigree(ROWS), range(1, 7))
    assert (2 * found[:, 4:].sum(axis=1)).tolist() == expected
