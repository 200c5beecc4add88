"""Who can be the parents of whom (common practice, no source, unless said otherwise)."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from registry.rules.days import Day
from registry.rules.known import Known, KnownFish, Pair
from registry.rules.parents import Part, loops, objections_to_pairs, objections_to_parents, objections_to_parts


def young(**changes: object) -> KnownFish:
    fish = KnownFish("Y1", species="ruthenus", hatched=Day(date(2008, 5, 9)), pairs=(Pair("F1", "M1"),))
    return replace(fish, **changes)


def reasons(known: Known, **changes: object) -> list[tuple[str, str]]:
    return [(o.code, o.field) for o in objections_to_parents(young(**changes), known)]


def test_two_living_adults_of_the_species_can_be_parents(known: Known) -> None:
    assert reasons(known) == []


def test_an_unknown_parent_is_no_objection(known: Known) -> None:
    assert reasons(known, pairs=(Pair("F1", None),)) == []


def test_a_fish_is_not_its_own_parent(known: Known) -> None:
    assert ("own_parent", "sire") in reasons(known, pairs=(Pair("F1", "y1"),))


def test_a_parent_must_be_in_the_register(known: Known) -> None:
    found = objections_to_parents(young(pairs=(Pair("F9997", None),)), known)
    assert [o.message for o in found] == [
        "There is no fish F9997 in the register. Enter that fish first, or correct the dam."
    ]


def test_a_male_is_no_dam_and_a_female_no_sire(known: Known) -> None:
    assert reasons(known, pairs=(Pair("M1", "F1"),)) == [("wrong_sex", "dam"), ("wrong_sex", "sire")]


def test_a_parent_hatches_before_its_young(known: Known) -> None:
    assert reasons(known, pairs=(Pair("D1", None),)) == [("parent_younger", "dam")]


def test_years_alone_do_not_prove_a_parent_younger(known: Known) -> None:
    born = Day(date(2010, 1, 1), "year")
    assert reasons(known, hatched=born, pairs=(Pair("D1", None),)) == []


def test_parents_are_of_the_young_ones_species_unless_it_is_a_hybrid(known: Known) -> None:
    assert reasons(known, species="oxyrinchus") == [("wrong_species", "dam"), ("wrong_species", "sire")]
    assert reasons(known, species="", hybrid=True) == []


def test_only_frozen_milt_outlives_its_donor(known: Known) -> None:
    late = {"hatched": Day(date(2012, 5, 1)), "pairs": (Pair("F1", "M2"),)}
    assert reasons(known, **late) == [("dead_parent", "sire")]
    known.frozen_milt_of.add("m2")
    assert reasons(known, **late) == [("frozen_milt", "sire")]


def test_a_male_that_died_while_its_young_were_in_the_jars_is_a_sire(known: Known) -> None:
    assert reasons(known, hatched=Day(date(2009, 1, 20)), pairs=(Pair("F1", "M2"),)) == []


def test_probabilities_of_parentage_sum_to_one() -> None:
    short = (Pair("F1", "M1", Decimal("0.5")), Pair("F1", "M2", Decimal("0.4")))
    assert [o.message for o in objections_to_pairs(short)] == [
        "The probabilities sum to 0.9, not 1. Correct the shares."
    ]
    assert objections_to_pairs((Pair("F1", "M1", Decimal("0.7")), Pair("F1", "M2", Decimal("0.3")))) == []


def test_a_probability_is_above_zero() -> None:
    assert [o.code for o in objections_to_pairs((Pair("F1", "M1", Decimal(0)), Pair("F1", "M2")))] == ["probability"]


@given(st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7)), max_size=14))
def test_loops_of_ancestry_are_those_that_a_graph_library_finds(edges: list[tuple[int, int]]) -> None:
    # Second opinion: networkx.simple_cycles, every fish on any cycle of two or more.
    edges = [(child, parent) for child, parent in edges if child != parent]
    fish = [KnownFish(f"f{child}", pairs=(Pair(f"f{parent}", None),)) for child, parent in edges]
    graph = nx.DiGraph([(f"f{parent}", f"f{child}") for child, parent in edges])
    on_cycles = {one for cycle in nx.simple_cycles(graph) for one in cycle}
    assert {one for loop in loops(fish) for one in loop} == on_cycles


def test_a_fish_was_alive_and_hatched_when_it_took_part_in_a_cross() -> None:
    fish = KnownFish("F1", hatched=Day(date(2000, 1, 1)), left="died", left_on=Day(date(2009, 1, 1)))
    stripped = Part("dam", Day(date(2010, 5, 1)), "family 10-1")
    assert [o.message for o in objections_to_parts(fish, [stripped])] == [
        "F1 is the dam of family 10-1 of 1 May 2010 and cannot have died before. Correct one of the days."
    ]
    early = Part("sire", Day(date(1999, 5, 1)), "family 99-1")
    assert [o.code for o in objections_to_parts(fish, [early])] == ["parent_younger"]
    assert objections_to_parts(fish, [Part("sire", Day(date(2010, 5, 1)), "family 10-2", frozen_milt=True)]) == []
