"""Rows in order and apart: against plain counting and scipy's isotonic regression."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from breeding.figures.parts import layered

Links = list[tuple[str, str]]


@st.composite
def two_rows(draw: st.DrawFn) -> tuple[layered.Rows, Links]:
    above = [f"a{at}" for at in range(draw(st.integers(1, 8)))]
    below = [f"b{at}" for at in range(draw(st.integers(1, 8)))]
    links = draw(st.lists(st.tuples(st.sampled_from(above), st.sampled_from(below)), unique=True, max_size=20))
    return [[(item,) for item in above], [(item,) for item in below]], links


@given(two_rows())
def test_crossings_are_counted_as_by_looking_at_every_pair_of_links(case: tuple[layered.Rows, Links]) -> None:
    rows, links = case
    place = {block[0]: at for row in rows for at, block in enumerate(row)}
    plainly = sum((place[a] - place[c]) * (place[b] - place[d]) < 0 for (a, b), (c, d) in combinations(links, 2))
    assert layered.crossings(rows, layered.neighbours(links)[1]) == plainly


@given(two_rows())
def test_ordering_keeps_every_item_and_never_adds_a_crossing(case: tuple[layered.Rows, Links]) -> None:
    rows, links = case
    below = layered.neighbours(links)[1]
    result = layered.ordered(rows, links)
    assert [sorted(row) for row in result] == [sorted(row) for row in rows]
    assert layered.crossings(result, below) <= layered.crossings(rows, below)


def test_two_crossed_families_are_uncrossed() -> None:
    rows = [[("dam", "sire"), ("other dam", "other sire")], [("their young",), ("own young",)]]
    links = [(one, "own young") for one in rows[0][0]] + [(one, "their young") for one in rows[0][1]]
    assert layered.crossings(layered.ordered(rows, links), layered.neighbours(links)[1]) == 0


def test_mates_stay_side_by_side() -> None:
    rows = [[("A",), ("B",)], [("x", "y"), ("z",)]]
    result = layered.ordered(rows, [("A", "y"), ("B", "x"), ("B", "z")])
    assert {frozenset(block) for block in result[1]} == {frozenset("xy"), frozenset("z")}


@given(st.lists(st.floats(-100, 100), min_size=1, max_size=12))
def test_places_differ_least_by_squares_from_the_wishes(wishes: list[float]) -> None:
    # Items ten apart: an isotonic regression of (wish - 10 × place), scipy.optimize.isotonic_regression.
    row = [(f"i{at}",) for at in range(len(wishes))]
    settled = layered._settled(row, wishes, dict.fromkeys((item for (item,) in row), 10.0))
    offsets = 10.0 * np.arange(len(wishes))
    expected = isotonic_regression(np.array(wishes) - offsets).x + offsets
    assert [settled[item] for (item,) in row] == pytest.approx(list(expected), abs=1e-9)


@given(two_rows())
def test_no_two_items_of_a_row_overlap(case: tuple[layered.Rows, Links]) -> None:
    rows, links = case
    widths = {block[0]: 20.0 + 7 * at for row in rows for at, block in enumerate(row)}
    centres = layered.placed(rows, widths, links)
    for row in rows:
        for (left,), (right,) in pairwise(row):
            assert centres[right] - centres[left] >= (widths[left] + widths[right]) / 2 - 1e-6
    assert min(centres[item] - widths[item] / 2 for item in centres) == pytest.approx(0)


def test_parents_stand_over_the_middle_of_their_young() -> None:
    rows = [[("sire", "dam")], [("a",), ("b",), ("c",)]]
    links = [(parent, young) for parent in ("sire", "dam") for young in "abc"]
    centres = layered.placed(rows, dict.fromkeys(["sire", "dam", *"abc"], 50.0), links)
    assert (centres["sire"] + centres["dam"]) / 2 == pytest.approx(centres["b"])
