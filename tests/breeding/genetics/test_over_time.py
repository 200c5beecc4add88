"""Many groups at once are what each is by itself."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breeding.genetics.diversity import group_kinship
from breeding.genetics.errors import PedigreeError
from breeding.genetics.over_time import coancestry_of_groups
from breeding.genetics.pedigree import ParentRow, build_pedigree

ROWS = [
    ParentRow("Y", "F1", "M1"), ParentRow("Z", "Y", "M2", 0.6), ParentRow("Z", "Y", "M1", 0.4),
    ParentRow("batch", "F1", "M2"), ParentRow("pool", "F2", "M1", 0.5), ParentRow("pool", "F2", "M2", 0.5),
    ParentRow("V", "Z", None),
]  # fmt: skip
NAMES = ["F1", "F2", "M1", "M2", "Y", "Z", "batch", "pool", "V"]
COUNTABLE = ("batch", "pool", "V")


@pytest.mark.parametrize("ploidy", [2, 4])
@given(counts=st.lists(st.integers(0, 3), min_size=9, max_size=9).filter(any))
def test_each_group_has_the_kinship_that_it_has_alone(ploidy: int, counts: list[int]) -> None:
    pedigree = build_pedigree(ROWS, ploidy=ploidy)
    counts = [n if name in COUNTABLE else min(n, 1) for name, n in zip(NAMES, counts, strict=True)]
    everyone = np.ones(len(NAMES))
    with_self, without = coancestry_of_groups(pedigree, NAMES, np.column_stack([counts, everyone]))
    alone = group_kinship(pedigree, {name: n for name, n in zip(NAMES, counts, strict=True) if n})
    assert with_self[0] == pytest.approx(alone.coancestry)
    if sum(counts) > 1:
        assert without[0] == pytest.approx(alone.coancestry_without_self, abs=1e-12)
    else:
        assert np.isnan(without[0])
    assert with_self[1] == pytest.approx(group_kinship(pedigree, NAMES).coancestry)


def test_an_empty_group_has_no_kinship() -> None:
    with_self, without = coancestry_of_groups(build_pedigree(ROWS), NAMES, np.zeros((9, 1)))
    assert np.isnan([with_self[0], without[0]]).all()


def test_a_breeder_counted_twice_is_refused() -> None:
    with pytest.raises(PedigreeError, match="A fish that bred counts 0 or 1 in a group"):
        coancestry_of_groups(build_pedigree(ROWS), ["F1"], np.array([[2.0]]))
