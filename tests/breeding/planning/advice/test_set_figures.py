"""What a set of crosses is worth, made or planned."""

import pytest

from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.advice.set_figures import figures_of_set

# S × D → full sibs P, Q; S × O → H, paternal half sib of both.
ROWS = [
    *(ParentRow(one, None, None) for one in "SDO"),
    ParentRow("P", "D", "S"), ParentRow("Q", "D", "S"), ParentRow("H", "O", "S"),
]  # fmt: skip


def founders(count: int) -> list[ParentRow]:
    return [ParentRow(f"{sex}{n}", None, None) for sex in "FM" for n in range(count)]


@pytest.mark.parametrize("pairs", [2, 6])
def test_unrelated_single_pairs(pairs: int) -> None:
    # Equal contributions of unrelated founders: 1/(8·females) + 1/(8·males), 6 × 6 → 1/24 (Wright 1931).
    crosses = {(f"F{n}", f"M{n}"): 1.0 for n in range(pairs)}
    found = figures_of_set(build_pedigree(founders(pairs)), crosses)
    assert found.group_coancestry == pytest.approx(1 / (4 * pairs))
    assert found.mean_inbreeding == 0
    assert (found.dams, found.sires) == (pairs, pairs)


def test_pooled_milt_counts_by_its_shares() -> None:
    # One female, milt of two males at 0.7 and 0.3: 1/8 + (0.7² + 0.3²)/8.
    crosses = {("F0", "M0"): 0.7, ("F0", "M1"): 0.3}
    assert figures_of_set(build_pedigree(founders(2)), crosses).group_coancestry == pytest.approx(1 / 8 + 0.58 / 8)


@pytest.mark.parametrize(
    ("ploidy", "full_sibs", "half_sibs"), [(2, 0.25, 0.125), (4, 0.083333, 0.041667)]
)  # F of the young: diploids Falconer & Mackay 1996; tetraploids without double reduction Hamilton & Kerr 2018
def test_inbreeding_of_the_young_at_their_ploidy(ploidy: int, full_sibs: float, half_sibs: float) -> None:
    pedigree = build_pedigree(ROWS, ploidy=ploidy)
    assert figures_of_set(pedigree, {("P", "Q"): 1}).mean_inbreeding == pytest.approx(full_sibs, abs=1e-6)
    assert figures_of_set(pedigree, {("P", "H"): 1}).mean_inbreeding == pytest.approx(half_sibs, abs=1e-6)


def test_no_cross_has_no_figures() -> None:
    with pytest.raises(ValueError, match="needs one at least"):
        figures_of_set(build_pedigree(ROWS), {})
