"""Retention by chance agrees with counting all outcomes, and with labelled genes handed down one by one."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breeding.genetics import gene_drop
from breeding.genetics.errors import PedigreeError
from breeding.genetics.gene_drop import allele_retention
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import pedigrees


def counted(rows, living) -> dict:
    """Share of each founder's two genes in the living over all outcomes; rows parents first."""
    young = [row for row in rows if (row.dam, row.sire) != (None, None)]
    founders = [row.fish for row in rows if row not in young]
    kept = dict.fromkeys(founders, 0.0)
    for coins in product((0, 1), repeat=2 * len(young)):
        genes = {founder: ((founder, 0), (founder, 1)) for founder in founders}
        for number, row in enumerate(young):
            genes[row.fish] = tuple(
                genes[parent][coin] if parent is not None else (("unknown", row.fish, side), 0)
                for side, (parent, coin) in enumerate(zip((row.dam, row.sire), coins[2 * number :][:2], strict=True))
            )
        present = {gene for fish in living for gene in genes[fish]}
        for founder in founders:
            kept[founder] += sum((founder, copy) in present for copy in (0, 1)) / 2 / 4 ** len(young)
    return kept


@settings(max_examples=40)
@given(rows=pedigrees(most=7), data=st.data())
def test_exact_retention_is_that_of_all_outcomes(rows, data):
    pedigree = build_pedigree(rows)
    living = data.draw(st.lists(st.sampled_from(pedigree.ids), min_size=1, unique=True))
    found = allele_retention(pedigree, living)
    names = [pedigree.ids[fish] for fish in pedigree.founders()]
    assert dict(zip(names, found.of_founders, strict=True)) == pytest.approx(counted(rows, living), abs=1e-12)
    assert found.drops == 0
    assert found.largest_error == 0


@settings(max_examples=15)
@given(rows=pedigrees(most=8))
def test_drawn_retention_lies_within_its_error_of_the_exact_one(rows):
    pedigree = build_pedigree(rows)
    exact = allele_retention(pedigree)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(gene_drop, "EXACT_COINS", -1)
        drawn = allele_retention(pedigree, drops=4000)
    for told, true, error in (
        (drawn.of_founders, exact.of_founders, drawn.error_of_founders),
        (drawn.of_unknown, exact.of_unknown, drawn.error_of_unknown),
    ):
        assert (np.abs(told - true) <= 5 * error + 1e-3).all()


def test_the_same_seed_gives_the_same_result():
    rows = [ParentRow(f"x{n}", "Ada", f"s{n % 3}") for n in range(3)]
    rows += [ParentRow(f"y{n}", f"x{n % 3}", f"x{(n + 1) % 3}") for n in range(30)]
    pedigree = build_pedigree(rows)
    living = [f"y{n}" for n in range(30)]
    one, same, other = (allele_retention(pedigree, living, seed=seed).of_founders.tolist() for seed in (7, 7, 8))
    assert one == same
    assert one != other


@pytest.mark.parametrize("number", [1, 2, 5, 80])
def test_each_young_saves_half_of_what_was_still_lost(number):
    """Retention of a parent of n young is 1 - ½ⁿ (MacCluer et al. 1986)."""
    pedigree = build_pedigree([ParentRow("batch", "Ada", "Bo")])
    found = allele_retention(pedigree, {"batch": number}, drops=20_000)
    assert found.of_founders == pytest.approx([1 - 0.5**number] * 2, abs=5 * found.largest_error + 1e-12)


@pytest.mark.parametrize(("ploidy", "double_reduction"), [(4, 0.0), (4, 0.2), (6, 0.1), (6, 0.5), (8, 1.0)])
def test_a_gamete_carries_as_many_distinct_copies_as_double_reduction_leaves(ploidy, double_reduction):
    """Half of the copies, less the pairs that are alike; of λ above one pair in all of them, one copy at times."""
    half = ploidy // 2
    pairs = half * (half - 1) / 2
    alike = min(1.0, pairs * double_reduction)
    everything = max(0.0, (double_reduction - 1 / pairs) / (1 - 1 / pairs)) if pairs > 1 else 0.0
    expected = (1 - everything) * (half - alike) + everything
    pedigree = build_pedigree([ParentRow("x", "Ada", "Bo")], ploidy=ploidy, double_reduction=double_reduction)
    found = allele_retention(pedigree, ["x"], drops=20_000)
    assert found.of_founders == pytest.approx([expected / ploidy] * 2, abs=5 * found.largest_error + 1e-12)


@pytest.mark.parametrize("reduction", [0.0, 0.4, 1.0])
def test_double_reduction_costs_genes_in_every_generation(reduction):
    """Tetraploids A × B → x, x × C → y, y lives: distinct genes of A in y, worked by hand.

    The gamete of x is one of its copies twice (λ), which is from A by a half; or two of its copies, both from A by 1/6
    (and then the same gene by λ), one from A by 4/6.
    """
    expected = (reduction / 2 + (1 - reduction) * (4 / 6 + (2 - reduction) / 6)) / 4
    rows = [ParentRow("x", "A", "B"), ParentRow("y", "x", "C")]
    pedigree = build_pedigree(rows, ploidy=4, double_reduction=reduction)
    found = allele_retention(pedigree, ["y"], drops=20_000)
    kept = dict(zip([pedigree.ids[fish] for fish in pedigree.founders()], found.of_founders, strict=True))
    assert [kept["A"], kept["B"]] == pytest.approx([expected] * 2, abs=5 * found.largest_error)


def test_pooled_milt_and_one_unknown_male_differ_in_what_they_save():
    """Two young, two males equally likely: each male's gene copies are saved with 1 - (3/4)² or ½ · (1 - ½²)."""

    def saved(draw):
        rows = [ParentRow(x, "d", sire, 0.5, draw) for x in ("x", "y") for sire in ("a", "b")]
        pedigree = build_pedigree(rows)
        found = allele_retention(pedigree, ["x", "y"], drops=40_000)
        return dict(zip([pedigree.ids[fish] for fish in pedigree.founders()], found.of_founders, strict=True))

    pooled, one_male = saved(None), saved("night 3")
    assert [pooled[fish] for fish in "dab"] == pytest.approx([0.75, 7 / 16, 7 / 16], abs=0.01)
    assert [one_male[fish] for fish in "dab"] == pytest.approx([0.75, 3 / 8, 3 / 8], abs=0.01)


def test_a_breeder_of_uncertain_parents_hands_genes_to_whichever_it_was():
    rows = [ParentRow("x", "d", "a", 0.25), ParentRow("x", "d", None, 0.75), ParentRow("y", "x", "e")]
    pedigree = build_pedigree(rows)
    found = allele_retention(pedigree, ["y"], drops=40_000)
    names = [pedigree.ids[fish] for fish in pedigree.founders()]
    assert dict(zip(names, found.of_founders, strict=True)) == pytest.approx(
        {"d": 0.25, "a": 0.0625, "e": 0.5}, abs=0.01
    )
    assert found.of_unknown == pytest.approx([0.1875], abs=0.01)


def test_living_founders_keep_all_and_lost_ones_nothing():
    pedigree = build_pedigree([ParentRow("x", "Ada", "Bo"), ParentRow("Cy")])
    found = allele_retention(pedigree, ["Ada", "Cy"])
    names = [pedigree.ids[fish] for fish in pedigree.founders()]
    assert dict(zip(names, found.of_founders, strict=True)) == {"Cy": 1.0, "Ada": 1.0, "Bo": 0.0}


def test_too_few_drops_are_refused():
    with pytest.raises(PedigreeError, match="1 gene drops give no result with an error"):
        allele_retention(build_pedigree([ParentRow("x")]), drops=1)
