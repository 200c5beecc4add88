"""The ancestry of the last king of a European royal dynasty, with neutral numbers.

Source: Alvarez, Ceballos and Quinteiro 2009, The role of inbreeding in the extinction of a European royal dynasty, PLoS
ONE 4: e5174, print F = 0.254 for the last king from up to 16 generations. The pedigree below is cut short (public
genealogy, from memory); the fractions expected of it were worked out by the tabular method.
"""

import pytest

from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.pedigree import ParentRow, build_pedigree

# child, father, mother
PEDIGREE = (
    "4 1 2|5 1 2|7 6 5|8 3 4|9 3 4|10 3 4|12 8 7|13 8 7|14 9 11|15 9 11|16 9 11|17 14 13|18 12 17|20 19 15|21 19 15|"
    "23 22 10|25 24 23|26 21 25|27 16 20|28 16 20|29 18 27|30 18 27|31 28 26|32 31 30|33 29 32"
)
EXPECTED = {
    "12": 0.0625,
    "13": 0.0625,
    "17": 0.078125,
    "18": 0.1796875,
    "26": 0.015625,
    "27": 0.125,
    "28": 0.125,
    "29": 0.0908203125,
    "30": 0.0908203125,
    "31": 0.10546875,
    "32": 0.139404296875,
    "33": 1937 / 8192,
}


@pytest.fixture
def found() -> dict[str, float]:
    rows = [ParentRow(child, mother, father) for child, father, mother in map(str.split, PEDIGREE.split("|"))]
    pedigree = build_pedigree(rows)
    return dict(zip(pedigree.ids, inbreeding(pedigree).tolist(), strict=True))


def test_every_inbreeding_is_the_fraction_of_the_pedigree(found):
    assert {person: value for person, value in found.items() if value} == EXPECTED


def test_the_last_king_falls_short_of_the_printed_figure_by_his_deep_ancestry_only(found):
    assert found["33"] < 0.254
    assert found["33"] == pytest.approx(0.254, abs=0.02)
