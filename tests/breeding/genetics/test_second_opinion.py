"""A general genetics library finds the same on random pedigrees.

sgkit (https://sgkit-dev.github.io/sgkit): ``pedigree_kinship`` and ``pedigree_inbreeding`` by the method of Hamilton
and Kerr 2018, and ``pedigree_contribution``; founders there have the inbreeding of an outbred population at rest, as
here.
"""

import warnings

import numpy as np
import pytest

from breeding.genetics.founders import contributions
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree, pedigree_from_arrays

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import sgkit
    import xarray as xr

pytestmark = pytest.mark.filterwarnings("ignore")  # of the library's own dependencies


def random_parents(seed: int, fish: int) -> np.ndarray:
    """Dam and sire of each fish, -1 unknown, rows in no order."""
    random = np.random.default_rng(seed)
    founders = random.integers(2, 8)
    parents = np.full((fish, 2), -1)
    for young in range(founders, fish):
        parents[young] = random.choice(young, 2, replace=False)
        parents[young][random.random(2) < 0.1] = -1
    order = random.permutation(fish)
    place = np.argsort(order)
    return np.where(parents >= 0, place[parents], -1)[order]


def theirs(parents: np.ndarray, copies: np.ndarray, double_reduction: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    data = xr.Dataset(
        {
            "parent": (("samples", "parents"), parents),
            "stat_Hamilton_Kerr_tau": (("samples", "parents"), copies),
            "stat_Hamilton_Kerr_lambda": (("samples", "parents"), double_reduction),
        }
    )
    told = sgkit.pedigree_kinship(data, method="Hamilton-Kerr", allow_half_founders=True)
    told = sgkit.pedigree_inbreeding(told, method="Hamilton-Kerr", allow_half_founders=True)
    return told.stat_pedigree_kinship.values, told.stat_pedigree_inbreeding.values


def rows_of(parents: np.ndarray, copies: np.ndarray, double_reduction: np.ndarray) -> list[ParentRow]:
    return [
        ParentRow(
            fish,
            *(None if parent < 0 else parent for parent in parents[fish].tolist()),
            copies=tuple(copies[fish].tolist()),
            double_reduction=tuple(double_reduction[fish].tolist()),
        )
        for fish in range(len(parents))
    ]


@pytest.mark.parametrize("ploidy", [2, 4, 6, 8])
@pytest.mark.parametrize("first_seed", range(0, 50, 10))
def test_kinship_and_inbreeding_agree(first_seed, ploidy):
    for seed in range(first_seed, first_seed + 10):
        parents = random_parents(seed, 60)
        copies = np.full(parents.shape, ploidy // 2, dtype=np.uint64)
        reduction = np.full(parents.shape, 0.0 if ploidy == 2 else 0.1 * (seed % 3))
        kinship, inbred = theirs(parents, copies, reduction)
        pedigree = build_pedigree(rows_of(parents, copies, reduction))
        assert np.abs(kinship_among(pedigree, range(60)) - kinship).max() < 1e-12, seed
        assert np.abs(inbreeding(pedigree)[pedigree.positions(range(60))] - inbred).max() < 1e-12, seed


@pytest.mark.parametrize("seed", range(25))
def test_mixed_ploidy_agrees(seed):
    """Diploids and tetraploids crossed at random: each gamete carries half of its parent, or of the same founder."""
    parents = random_parents(seed, 50)
    random = np.random.default_rng(seed)
    copies = np.zeros(parents.shape, dtype=np.uint64)
    done = np.zeros(len(parents), dtype=bool)
    while not done.all():
        for fish in np.flatnonzero(~done):
            known = parents[fish][parents[fish] >= 0]
            if done[known].all():
                total = copies.sum(axis=1)
                own = [total[parent] // 2 if parent >= 0 else random.integers(1, 3) for parent in parents[fish]]
                copies[fish] = own if len(known) else [own[0]] * 2
                done[fish] = True
    assert set(copies.sum(axis=1)) - {2, 4}, "no mixed cross in this pedigree"
    reduction = np.where(copies > 1, 0.05, 0.0)
    kinship, inbred = theirs(parents, copies, reduction)
    pedigree = build_pedigree(rows_of(parents, copies, reduction))
    assert np.abs(kinship_among(pedigree, range(50)) - kinship).max() < 1e-12
    assert np.abs(inbreeding(pedigree)[pedigree.positions(range(50))] - inbred).max() < 1e-12


@pytest.mark.parametrize("seed", range(5))
def test_a_larger_hatchery_agrees(seed):
    parents = random_parents(seed, 1_500)
    unknown = np.where(parents < 0, len(parents), parents)
    pedigree = pedigree_from_arrays(unknown[:, 0], unknown[:, 1])
    data = xr.Dataset({"parent": (("samples", "parents"), parents)})
    told = sgkit.pedigree_inbreeding(data, method="diploid", allow_half_founders=True)
    assert np.abs(inbreeding(pedigree) - told.stat_pedigree_inbreeding.values).max() < 1e-12


@pytest.mark.parametrize("seed", range(5))
def test_founder_contributions_agree(seed):
    parents = random_parents(seed, 80)
    data = xr.Dataset({"parent": (("samples", "parents"), parents)})
    # Their share of one fish in another, (samples, samples): the first axis contributes.
    told = sgkit.pedigree_contribution(data, method="even", chunks=-1)
    shares = told.stat_pedigree_contribution.values
    unknown = np.where(parents < 0, len(parents), parents)
    found = contributions(pedigree_from_arrays(unknown[:, 0], unknown[:, 1]), range(40, 80))
    assert found.of_founders == pytest.approx(shares[found.founders][:, 40:].mean(axis=1), abs=1e-12)
