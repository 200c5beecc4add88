"""Seven animals of a half-sib pedigree by the tabular method.

Source: Christensen, course pages on population genetics, example of the tabular method; F of animal 7 is printed as
0.218, a(7,7) and a(7,5) worked by hand.
"""

from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree

# animal, dam, sire
ROWS = [
    ParentRow(2, None, 1),
    ParentRow(3, None, 1),
    ParentRow(4, None, 1),
    ParentRow(5, 3, 2),
    ParentRow(6, 3, 4),
    ParentRow(7, 6, 5),
]


def test_inbreeding_is_that_of_the_example():
    pedigree = build_pedigree(ROWS)
    found = dict(zip(pedigree.ids, inbreeding(pedigree).tolist(), strict=True))
    assert found == {1: 0, 2: 0, 3: 0, 4: 0, 5: 0.125, 6: 0.125, 7: 0.21875}


def test_relationship_is_that_of_the_example():
    assert (2 * kinship_among(build_pedigree(ROWS), [7, 5, 6]))[0].tolist() == [1.21875, 0.78125, 0.78125]
