"""Effective size by every method.

Source: Wright 1931 (Genetics 16: 97-159); Crow and Kimura 1970; Crow and Denniston 1988 (Evolution 42: 482-495); Hill
1979 (Genetics 92: 317-322); Gutierrez et al. 2008 (Genet. Sel. Evol. 40: 359-378) and 2009; Ryman and Laikre 1991
(Conserv. Biol. 5: 325-329); Soulé et al. 1986 (Zoo Biol. 5: 101-113) for the target. Examples 20, 3.6 and 400 and the
harmonic mean 30.8 are printed in course pages on population genetics; the other figures follow from the formulas.
"""

import numpy as np
import pytest

from breeding.genetics.ancestry import equivalent_generations
from breeding.genetics.effective_size import (
    ASSUMPTIONS,
    best_share,
    by_coancestry_increase,
    by_contributions,
    by_family_variance,
    by_inbreeding_rate,
    by_individual_increase,
    by_numbers,
    by_sex_variance,
    by_yearly_rate,
    gene_diversity_after,
    harmless_share,
    inbreeding_rate,
    individual_increase,
    over_generations,
    size_to_keep,
    variance_at_two,
    with_release,
)
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree

MRODE = [ParentRow(3, 2, 1), ParentRow(4, None, 1), ParentRow(5, 3, 4), ParentRow(6, 2, 5)]


@pytest.mark.parametrize(
    ("males", "females", "expected"),
    [
        (3, 12, 9.6),
        (10, 10, 20),
        (1, 10, 3.636),
        (100, 100_000, 399.6),
        (36, 9, 28.8),
        (15, 3, 10),
        (0, 5, 0),
    ],
)
def test_unequal_numbers_of_the_sexes(males, females, expected):
    assert by_numbers(males, females) == pytest.approx(expected, abs=5e-4)


@pytest.mark.parametrize(("variance", "expected"), [(0, 39), (2, 19.5), (8, 7.8), (18, 3.9)])
def test_variance_of_family_size_of_twenty_parents(variance, expected):
    assert by_family_variance(20, variance) == pytest.approx(expected)


def test_young_counted_before_most_die_have_the_variance_of_two_a_parent():
    """By definition: V stays where the mean is 2; young by chance alone (V = k) survive by chance alone, V = 2."""
    assert variance_at_two(np.array([0, 4, 0, 4])) == pytest.approx(4)
    by_chance = np.array([200 - 200**0.5, 200 + 200**0.5])
    assert variance_at_two(by_chance) == pytest.approx(2)
    assert variance_at_two(np.array([1, 1])) is None


def test_offspring_counted_by_sex():
    assert by_sex_variance([400, 400, 100, 100], [250] * 4) == pytest.approx(6.796, abs=5e-4)
    assert by_sex_variance([400, 400, 100, 100], []) == 0


@pytest.mark.parametrize(
    ("shares", "expected"), [([400, 400, 100, 100], 2.941), ([700, 100, 100, 100], 1.923), ([1000, 0, 0, 0], 1)]
)
def test_contributions_of_parents(shares, expected):
    assert by_contributions(shares) == pytest.approx(expected, abs=5e-4)


def test_fluctuating_numbers():
    assert over_generations([10, 100, 50, 80, 20, 500]) == pytest.approx(30.848, abs=5e-4)


@pytest.mark.parametrize(
    ("rate", "expected"), [(0.01, 50), (0.005, 100), (0.05208333, 9.6), (0, np.inf), (-0.1, np.inf)]
)
def test_rate_of_inbreeding(rate, expected):
    assert by_inbreeding_rate(rate) == pytest.approx(expected, rel=1e-6)


def test_rate_of_inbreeding_between_generations():
    """Full sibs: F 0.25 after 0, then 0.375 after 0.25 (Falconer and Mackay 1996, chapter 5)."""
    assert inbreeding_rate(0, 0.25) == 0.25
    assert inbreeding_rate(0.25, 0.375) == pytest.approx(1 / 6)


def test_a_yearly_rate_over_a_generation():
    assert by_yearly_rate(0.001, 10) == pytest.approx(50)


def test_individual_increase_in_both_published_forms():
    later = by_individual_increase(np.array([0.125]), np.array([3.0]))
    earlier = by_individual_increase(np.array([0.125]), np.array([3.0]), own=True)
    assert individual_increase(np.array([0.125]), np.array([3.0])) == pytest.approx([0.064586], abs=1e-6)
    assert later.size == pytest.approx(7.742, abs=5e-4)
    assert earlier.size == pytest.approx(11.485, abs=5e-4)
    assert later.error is None


def test_individual_increase_of_the_six_animals():
    """Mrode's pedigree: t of animals 3 to 6 is 1, 0.5, 1.75 and 1.875; ΔF of 5 and 6 is 0.163093 and 0.141533."""
    pedigree = build_pedigree(MRODE)
    generations = equivalent_generations(pedigree)
    told = dict(zip(pedigree.ids, generations.tolist(), strict=True))
    assert told == {1: 0, 2: 0, 3: 1, 4: 0.5, 5: 1.75, 6: 1.875}
    increase = individual_increase(inbreeding(pedigree), generations)
    assert increase[pedigree.positions([5, 6])] == pytest.approx([0.163093, 0.141533], abs=1e-6)
    found = by_individual_increase(inbreeding(pedigree), generations)
    assert (found.used, found.left_out) == (2, 4)
    assert found.size == pytest.approx(1 / (0.163093 + 0.141533), abs=1e-4)
    # Twice Ne² times the standard error of the mean of two increases.
    assert found.error == pytest.approx(2 * found.size**2 * (0.163093 - 0.141533) / 2, abs=1e-4)


def test_increase_of_coancestry_of_full_sibs():
    """One pair of full sibs, c = ¼ at t = 1: Δc = ¼, Ne = 2."""
    pedigree = build_pedigree([ParentRow("x", "d", "s"), ParentRow("y", "d", "s")])
    kinship = kinship_among(pedigree, ["x", "y", "d"])
    found = by_coancestry_increase(kinship[:2, :2], np.array([1.0, 1.0]))
    assert (found.size, found.used) == (2, 1)
    nothing_known = by_coancestry_increase(np.eye(2) / 2, np.zeros(2))
    assert nothing_known == (None, None, 0, 1)


@pytest.mark.parametrize(
    ("hatchery", "wild", "share", "expected"),
    [
        (10, 200, 0.5, 38.095),
        (10, 200, 0.1, 198.02),
        (10, 200, 0.0952381, 200),
        (40, 200, 0.5, 133.33),
        (24, 50, 0.9, 29.46),
    ],
)
def test_a_release_changes_the_size_of_the_wild_stock(hatchery, wild, share, expected):
    assert with_release(share, hatchery, wild) == pytest.approx(expected, abs=5e-3)


def test_shares_of_release_that_do_no_harm():
    assert harmless_share(10, 200) == pytest.approx(0.095238, abs=1e-6)
    assert best_share(10, 200) == pytest.approx(0.04762, abs=5e-6)
    assert with_release(best_share(10, 200), 10, 200) == pytest.approx(210)


@pytest.mark.parametrize(
    ("founders", "generations", "expected"),
    [(None, 5, 23.98), (15, 5, 35.24), (20, 5, 31.48), (None, 12.5, 59.57), (5, 5, None)],
)
def test_the_size_that_keeps_nine_tenths(founders, generations, expected):
    found = size_to_keep(0.9, generations, founders=founders)
    assert found == (None if expected is None else pytest.approx(expected, abs=5e-3))


@pytest.mark.parametrize(("size", "expected"), [(24, 0.90008), (50, 0.95099)])
def test_gene_diversity_after_five_generations(size, expected):
    assert gene_diversity_after(5, size) == pytest.approx(expected, abs=5e-6)


@pytest.mark.parametrize(
    ("founders", "expected"), [(5, 0.9), (10, 0.95), (15, 0.966667), (20, 0.975), (25, 0.98), (50, 0.99)]
)
def test_founders_begin_with_less_than_all(founders, expected):
    assert gene_diversity_after(0, 50, founders=founders) == pytest.approx(expected, abs=5e-7)


def test_every_method_says_what_it_takes_for_granted():
    from breeding.genetics import effective_size  # noqa: PLC0415

    methods = {name for name in vars(effective_size) if name.startswith(("by_", "over_", "with_"))}
    assert methods == set(ASSUMPTIONS)
