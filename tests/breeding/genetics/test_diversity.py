"""Group measures equal the plain mean over the kinship table."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from breeding.genetics.diversity import (
    founder_genome_equivalents,
    gene_diversity,
    group_coancestry,
    group_kinship,
    mean_kinship,
    with_young,
)
from breeding.genetics.errors import PedigreeError, UnknownFishError
from breeding.genetics.founders import contributions, effective_ancestors, founder_equivalents
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import WAYS, computed, pedigrees, uncertain_pedigrees

SIBS = [ParentRow("batch", "Ada", "Bo"), ParentRow("Ida", "Ada", "Bo")]


@pytest.mark.parametrize("way", WAYS)
@given(rows=st.one_of(pedigrees(), uncertain_pedigrees()), data=st.data())
def test_mean_kinship_is_the_mean_over_the_table(way, rows, data):
    with computed(way):
        pedigree = build_pedigree(rows)
        living = data.draw(st.lists(st.sampled_from(pedigree.ids), min_size=1, unique=True))
        square = kinship_among(pedigree, living)
        group = group_kinship(pedigree, living)
    assert group.mean_kinship == pytest.approx(square.mean(axis=0), abs=1e-14)
    assert group.coancestry == pytest.approx(square.mean(), abs=1e-14)
    assert group.coancestry == pytest.approx(group.mean_kinship.mean(), abs=1e-14)
    if len(living) > 1:
        others = (square.sum(axis=0) - np.diag(square)) / (len(living) - 1)
        assert group.mean_kinship_without_self == pytest.approx(others, abs=1e-14)
        assert group.coancestry_without_self == pytest.approx(others.mean(), abs=1e-14)


@pytest.mark.parametrize("draw", [None, "jar 4"])
@given(count=st.integers(1, 12))
def test_a_batch_counts_as_so_many_sibs(draw, count):
    def pool(name):
        return [ParentRow(name, "d", "a", 0.75, draw), ParentRow(name, "d", "b", 0.25, draw)]

    told = build_pedigree([row for number in range(count) for row in pool(number)])
    counted = build_pedigree(pool("batch"))
    apart, together = group_kinship(told, [*range(count), "a"]), group_kinship(counted, {"batch": count, "a": 1})
    assert together.coancestry == pytest.approx(apart.coancestry, abs=1e-14)
    assert together.mean_kinship == pytest.approx(apart.mean_kinship[[0, -1]], abs=1e-14)
    assert together.coancestry_without_self == pytest.approx(apart.coancestry_without_self, abs=1e-14)


@given(rows=pedigrees(), data=st.data())
def test_founder_equivalents_are_never_below_effective_ancestors_or_genomes(rows, data):
    """f_e ≥ f_a ≥ N_g (Boichard, Maignel and Verrier 1997; the living themselves no ancestors of themselves)."""
    pedigree = build_pedigree(rows)
    young = [row.fish for row in rows if row.dam is not None or row.sire is not None]
    parents = {parent for row in rows for parent in (row.dam, row.sire)}
    living = sorted(set(young) - parents)
    assume(living)
    equivalents = founder_equivalents(contributions(pedigree, living))
    ancestors = effective_ancestors(pedigree, living)
    assert equivalents >= ancestors - 1e-9
    assert ancestors >= founder_genome_equivalents(pedigree, group_kinship(pedigree, living)) - 1e-9


@pytest.mark.parametrize("ploidy", [2, 4])
@given(rows=pedigrees(), count=st.integers(1, 40), data=st.data())
def test_a_batch_that_joins_changes_the_group_as_if_it_had_been_there(ploidy, rows, count, data):
    inheritance = {"ploidy": ploidy, "double_reduction": 0.1}
    before = build_pedigree(rows, **inheritance)
    fish = st.sampled_from(before.ids)
    living, dam, sire = data.draw(st.lists(fish, min_size=1, unique=True)), data.draw(fish), data.draw(fish)
    after = build_pedigree([*rows, ParentRow("young", dam, sire)], **inheritance)
    whole = group_kinship(after, dict.fromkeys(living, 1) | {"young": count})
    added = with_young(before, group_kinship(before, living), (dam, sire), count)
    assert added.coancestry == pytest.approx(whole.coancestry, abs=1e-13)
    assert added.mean_kinship_of_young == pytest.approx(whole.mean_kinship[-1], abs=1e-13)


def test_a_living_parent_keeps_its_own_weight():
    pedigree = build_pedigree(SIBS)
    living = ["Ada", "Ida"]
    assert group_coancestry(pedigree, living) == kinship_among(pedigree, living).mean()


def test_gene_diversity_is_what_mean_kinship_leaves():
    pedigree = build_pedigree(SIBS)
    assert gene_diversity(pedigree, ["Ida"]) == 0.5
    assert mean_kinship(pedigree, ["Ida", "Ada"], include_self=False).tolist() == [0.25, 0.25]


def test_a_group_of_one_has_no_kinship_with_others():
    group = group_kinship(build_pedigree(SIBS), ["Ida"])
    assert group.coancestry_without_self is None
    assert np.isnan(group.mean_kinship_without_self).all()


def test_founder_genomes_of_mixed_ploidy_are_not_one_number():
    pedigree = build_pedigree([ParentRow("m", copies=(1, 1)), ParentRow("f", copies=(2, 2))])
    assert founder_genome_equivalents(pedigree, group_kinship(pedigree)) is None
    tetraploids = build_pedigree([ParentRow("f"), ParentRow("g")], ploidy=4)
    assert founder_genome_equivalents(tetraploids, group_kinship(tetraploids)) == 2


@pytest.mark.parametrize(
    ("living", "sentence"),
    [
        ([], "No fish is living in this group"),
        (["Ida", "Ida"], "Ida is named twice in the living group"),
        ({"batch": 0}, "counts 0 of batch. Counts must be above zero"),
        ({"batch": float("nan")}, "counts nan of batch"),
        ({"Ada": 2}, "Ada is a parent, so it is one fish, not 2"),
    ],
)
def test_impossible_groups_are_refused(living, sentence):
    with pytest.raises(PedigreeError, match=sentence):
        group_kinship(build_pedigree(SIBS), living)


def test_a_living_fish_that_is_not_in_the_pedigree_is_named():
    with pytest.raises(UnknownFishError, match="Not in the pedigree: Kim"):
        group_kinship(build_pedigree(SIBS), ["Kim"])
