"""Generations, wild origin, generation interval, founders about to be lost, and the range of an uncertain kinship."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breeding.genetics.ancestry import (
    equivalent_generations,
    generation_interval,
    generations_in_captivity,
    wild_origin,
    wild_share,
)
from breeding.genetics.founders import contributions
from breeding.genetics.kinship import kinship_between, kinship_range
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import pedigrees, uncertain_pedigrees

# Ada (wild) × Bo (captive) → Ida;  Ida × unknown → Jon;  Ida × Jon → Kim.
ROWS = [ParentRow("Ida", "Ada", "Bo"), ParentRow("Jon", "Ida", None), ParentRow("Kim", "Ida", "Jon")]
ORIGINS = {"Ada": "wild", "Bo": "captive", "Ida": "hatchery"}


def told(pedigree, values):
    return dict(zip(pedigree.ids, values.tolist(), strict=True))


def test_generations_in_captivity_count_from_the_wild():
    pedigree = build_pedigree(ROWS)
    assert told(pedigree, generations_in_captivity(pedigree)) == {"Ada": 0, "Bo": 0, "Ida": 1, "Jon": 1.5, "Kim": 2.25}


def test_depth_counts_known_ancestors_only():
    pedigree = build_pedigree(ROWS)
    assert told(pedigree, equivalent_generations(pedigree)) == {"Ada": 0, "Bo": 0, "Ida": 1, "Jon": 1, "Kim": 2}


def test_a_shared_draw_is_no_generation():
    apart = build_pedigree([ParentRow("x", "d", "s"), ParentRow("y", "x", "e")])
    drawn = build_pedigree([ParentRow("x", "d", "s", draw="jar"), ParentRow("y", "x", "e")])
    assert told(drawn, equivalent_generations(drawn)) == told(apart, equivalent_generations(apart))
    clutch = build_pedigree([ParentRow("x", draw="redd"), ParentRow("y", "x", "e")])
    assert told(clutch, generations_in_captivity(clutch)) == {"x": 1, "y": 1.5, "e": 0}


def test_wild_origin_has_bounds_where_parents_are_unknown():
    pedigree = build_pedigree(ROWS)
    assert told(pedigree, wild_share(pedigree, ORIGINS)) == {
        "Ada": [1, 1], "Bo": [0, 0], "Ida": [0.5, 0.5], "Jon": [0.25, 0.75], "Kim": [0.375, 0.625]
    }  # fmt: skip


@settings(max_examples=40)
@given(rows=st.one_of(pedigrees(), uncertain_pedigrees()), data=st.data())
def test_wild_origin_of_a_group_is_the_mean_of_its_fish(rows, data):
    pedigree = build_pedigree(rows)
    kinds = st.sampled_from(["wild", "captive", "hatchery", None])
    origins = {fish: data.draw(kinds) for fish in pedigree.ids}
    living = data.draw(st.lists(st.sampled_from(pedigree.ids), min_size=1, unique=True))
    mean = wild_share(pedigree, origins)[pedigree.positions(living)].mean(axis=0)
    assert wild_origin(pedigree, contributions(pedigree, living), origins) == pytest.approx(tuple(mean), abs=1e-12)


def test_the_generation_interval_over_four_paths():
    """Ages worked by hand: S 10, D 8 at x (a sire); S 12, D 10 at y (a dam); T 5 at y by half; z never bred."""
    rows = [
        ParentRow("x", "D", "S"),
        ParentRow("y", "D", "S", 0.5),
        ParentRow("y", "D", "T", 0.5),
        ParentRow("z", "y", "x"),
    ]
    born = {"S": 2000, "D": 2002, "T": 2007, "x": 2010, "y": 2012, "z": 2020}
    found = generation_interval(build_pedigree(rows), born)
    assert found.paths == {"sire of sire": 10, "sire of dam": 8.5, "dam of sire": 8, "dam of dam": 10}
    assert found.pairs == {"sire of sire": 1, "sire of dam": 1, "dam of sire": 1, "dam of dam": 1}
    assert found.years == (10 + 8.5 + 8 + 10) / 4
    partly = generation_interval(build_pedigree(rows), {"S": 2000, "x": 2010})
    assert partly.years is None
    assert partly.paths["dam of dam"] is None


def test_an_uncertain_kinship_has_a_range_around_its_mean():
    rows = [ParentRow("x", "d", "a", 0.7), ParentRow("x", "d", "b", 0.3), ParentRow("y", "e", "a")]
    pedigree = build_pedigree(rows)
    assert kinship_range(pedigree, "x", "y") == (0, 0.125)
    assert kinship_between(pedigree, "x", "y") == pytest.approx(0.7 * 0.125)


def test_fish_of_one_draw_have_no_range_where_the_draw_cannot_tell():
    rows = [ParentRow(fish, "d", sire, 0.5, "night 3") for fish in "xy" for sire in "ab"]
    assert kinship_range(build_pedigree(rows), "x", "y") == (0.25, 0.25)
    apart = [ParentRow(fish, "d", sire, 0.5) for fish in "xy" for sire in "ab"]
    assert kinship_range(build_pedigree(apart), "x", "y") == (0.125, 0.25)


def test_too_many_possibilities_have_no_range():
    rows = [ParentRow(fish, "d", sire, 0.25) for fish in "xy" for sire in "abce"]
    assert kinship_range(build_pedigree(rows), "x", "y", most=15) is None


@settings(max_examples=30)
@given(rows=uncertain_pedigrees(most=5))
def test_the_mean_lies_within_the_range(rows):
    pedigree = build_pedigree(rows)
    a, b = pedigree.ids[0], pedigree.ids[-1]
    least, greatest = kinship_range(pedigree, a, b)
    assert least - 1e-12 <= kinship_between(pedigree, a, b) <= greatest + 1e-12
