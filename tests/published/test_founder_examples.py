"""Two small populations of four founders, with every founder measure.

Source: formulas of Lacy 1989 (Zoo Biol. 8: 111-123), MacCluer et al. 1986 (Zoo Biol. 5: 147-160), Boichard, Maignel and
Verrier 1997 (Genet. Sel. Evol. 29: 5-23) and Ballou and Lacy 1995; figures worked by hand, retention by counting.
"""

import pytest

from breeding.genetics.diversity import founder_genome_equivalents, gene_diversity, group_kinship, mean_kinship
from breeding.genetics.founders import contributions, effective_ancestors, founder_equivalents
from breeding.genetics.gene_drop import allele_retention, founder_genomes_surviving
from breeding.genetics.pedigree import ParentRow, build_pedigree

# A × B → P, Q, R;  C × D → S;  P, Q, R, S live.
UNEQUAL = [ParentRow("P", "A", "B"), ParentRow("Q", "A", "B"), ParentRow("R", "A", "B"), ParentRow("S", "C", "D")]
# A × B → X;  C × D → Y;  X × Y → o1 … o4, which live.
NARROW = [ParentRow("X", "A", "B"), ParentRow("Y", "C", "D"), *(ParentRow(f"o{n}", "X", "Y") for n in range(1, 5))]
CASES = {
    "unequal": (UNEQUAL, ["P", "Q", "R", "S"]),
    "narrow": (NARROW, ["o1", "o2", "o3", "o4"]),
}


@pytest.mark.parametrize(
    ("case", "shares", "kinship", "genomes", "equivalents", "ancestors", "kept", "surviving"),
    [
        ("unequal", [0.375, 0.375, 0.125, 0.125], 0.21875, 2.2857, 3.2, 3.2, [0.875, 0.875, 0.5, 0.5], 2.6047),
        ("narrow", [0.25] * 4, 0.3125, 1.6, 4, 2, [0.46875] * 4, 1.875),
    ],
)
def test_founder_measures(case, shares, kinship, genomes, equivalents, ancestors, kept, surviving):
    rows, living = CASES[case]
    pedigree = build_pedigree(rows)
    founders = [pedigree.ids[fish] for fish in pedigree.founders()]
    found, retention = contributions(pedigree, living), allele_retention(pedigree, living)
    assert dict(zip(founders, found.of_founders, strict=True)) == dict(zip("ABCD", shares, strict=True))
    assert dict(zip(founders, retention.of_founders, strict=True)) == dict(zip("ABCD", kept, strict=True))
    assert gene_diversity(pedigree, living) == 1 - kinship
    assert founder_genome_equivalents(pedigree, group_kinship(pedigree, living)) == pytest.approx(genomes, abs=5e-5)
    assert founder_equivalents(found) == pytest.approx(equivalents, abs=1e-12)
    assert effective_ancestors(pedigree, living) == pytest.approx(ancestors, abs=1e-12)
    assert founder_genomes_surviving(found, retention) == pytest.approx(surviving, abs=5e-5)


def test_three_full_sibs_and_a_stranger_with_and_without_self():
    """MK 0.21875 with self, 0.125 without."""
    group = group_kinship(build_pedigree(UNEQUAL), CASES["unequal"][1])
    assert group.coancestry == 0.21875
    assert group.coancestry_without_self == 0.125


@pytest.mark.parametrize("number", [1, 2, 7, 30])
def test_unrelated_founders_alone_have_a_mean_kinship_of_one_over_twice_their_number(number):
    pedigree = build_pedigree([ParentRow(fish) for fish in range(number)])
    group = group_kinship(pedigree)
    assert group.coancestry == pytest.approx(1 / (2 * number), abs=1e-15)
    assert founder_genome_equivalents(pedigree, group) == pytest.approx(number)
    assert founder_equivalents(contributions(pedigree)) == pytest.approx(number)


@pytest.mark.parametrize("number", [1, 2, 50, 100_000])
def test_a_family_of_dead_parents_has_a_quarter_and_a_quarter_of_one_over_its_number(number):
    pedigree = build_pedigree([ParentRow("batch", "A", "B")])
    expected = 1 / 4 + 1 / (4 * number)
    assert mean_kinship(pedigree, {"batch": number}) == pytest.approx([expected], abs=1e-15)
