"""Contributions add up to one, and ancestors are taken greatest first."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from breeding.genetics.founders import (
    contributions,
    effective_ancestors,
    founder_equivalents,
    unknown_name,
    unknown_parents,
)
from breeding.genetics.pedigree import ParentRow, build_pedigree
from tests.breeding.genetics.plain import pedigrees, uncertain_pedigrees


def told(pedigree, living):
    """Contributions by name, unknown parents after their young."""
    found = contributions(pedigree, living)
    shares = {pedigree.ids[fish]: share for fish, share in zip(found.founders, found.of_founders, strict=True)}
    for fish, side, share in zip(found.child, found.side, found.of_unknown, strict=True):
        shares[unknown_name(pedigree.ids[fish], side)] = share
    return shares


@given(rows=st.one_of(pedigrees(), uncertain_pedigrees()), data=st.data())
def test_contributions_add_up_to_one(rows, data):
    pedigree = build_pedigree(rows)
    living = data.draw(st.lists(st.sampled_from(pedigree.ids), min_size=1, unique=True))
    assert sum(told(pedigree, living).values()) == pytest.approx(1, abs=1e-12)


@given(rows=pedigrees(selfing=True), data=st.data())
def test_contributions_are_the_shares_handed_down_step_by_step(rows, data):
    living = data.draw(st.lists(st.sampled_from([row.fish for row in rows]), min_size=1, unique=True))
    parents = {row.fish: (row.dam, row.sire) for row in rows}
    waiting, expected = dict.fromkeys(living, 1 / len(living)), {}
    for fish in sorted(parents, reverse=True):  # young before parents
        share = waiting.pop(fish, 0.0)
        if parents[fish] == (None, None):
            expected[fish] = share
            continue
        for side, parent in enumerate(parents[fish]):
            if parent is None:
                expected[unknown_name(fish, side)] = share / 2
            else:
                waiting[parent] = waiting.get(parent, 0.0) + share / 2
    assert told(build_pedigree(rows), living) == pytest.approx(expected, abs=1e-14)


def test_an_unknown_father_shared_by_a_draw_is_one_founder():
    rows = [ParentRow(name, "Ada", None, draw="jar 2") for name in ("Jon", "Ida")]
    assert told(build_pedigree(rows), ["Ida", "Jon"]) == {"Ada": 0.5, "unknown-sire:Ida": 0.5}


def test_unknown_fathers_of_a_counted_batch_are_as_many_founders():
    pedigree = build_pedigree([ParentRow("batch", "Ada", None)])
    apart = build_pedigree([ParentRow(number, "Ada", None) for number in range(5)])
    assert founder_equivalents(contributions(pedigree, {"batch": 5})) == pytest.approx(
        founder_equivalents(contributions(apart, range(5)))
    )


def test_a_gamete_without_copies_makes_no_founder():
    pedigree = build_pedigree([ParentRow("gynogen", "Ada", copies=(2, 0))])
    assert told(pedigree, ["gynogen"]) == {"Ada": 1.0}
    assert len(unknown_parents(pedigree)[0]) == 0


def marginals(parents: dict, living: list, taken: set) -> dict:
    """What each fish contributes that the ancestors taken leave unexplained, on plain dictionaries."""
    through = dict.fromkeys(parents, 0.0) | dict.fromkeys(living, 1 / len(living))
    for fish in sorted(parents, reverse=True):
        for parent in parents[fish] if fish not in taken else ():
            through[parent] += through[fish] / 2
    explained: dict = {}
    for fish in sorted(parents):
        explained[fish] = sum(1.0 if parent in taken else explained[parent] for parent in parents[fish]) / 2
    return {fish: through[fish] * (1 - explained[fish]) for fish in parents}


def greedy_ancestors(rows, living) -> float | None:
    """Boichard's recursion, one ancestor at a time; None where a tie leaves it open."""
    graph = build_pedigree(rows).graph()
    parents = {row.fish: [parent for parent in (row.dam, row.sire) if parent is not None] for row in rows}
    ancestors = {parent for group in parents.values() for parent in group}
    ancestors |= {fish for fish, known in parents.items() if not known}
    # Unknown parents of living fish that are no ancestors.
    squares = sum((2 - len(parents[fish])) * (1 / len(living) / 2) ** 2 for fish in living if fish not in ancestors)
    taken: set = set()
    while True:
        marginal = {
            fish: value for fish, value in marginals(parents, living, taken).items() if fish in ancestors - taken
        }
        best = max(marginal, key=marginal.get, default=None)
        if best is None or marginal[best] < 1e-12:
            return 1 / squares
        kin = nx.ancestors(graph, best) | nx.descendants(graph, best)
        if any(abs(marginal[best] - marginal.get(fish, 0)) < 1e-12 for fish in kin):
            return None
        taken.add(best)
        squares += marginal[best] ** 2


@settings(max_examples=60)
@given(rows=pedigrees(), data=st.data())
def test_ancestors_are_taken_greatest_first(rows, data):
    pedigree = build_pedigree(rows)
    living = data.draw(st.lists(st.sampled_from(pedigree.ids), min_size=1, unique=True))
    expected = greedy_ancestors(rows, living)
    assume(expected is not None)
    assert effective_ancestors(pedigree, living) == pytest.approx(expected, abs=1e-9)


def test_ancestors_of_a_deep_pedigree_without_ties():
    """A dam with five young, another with three, one grandam behind both."""
    rows = [ParentRow("D1", "G", "M"), ParentRow("D2", "G", "N")]
    rows += [ParentRow(f"x{n}", "D1" if n < 5 else "D2", f"s{n}") for n in range(8)]
    living = [f"x{n}" for n in range(8)]
    # D1 5/16, D2 3/16, eight sires 1/16 each, nothing left for G, M and N.
    expected = 1 / ((5 / 16) ** 2 + (3 / 16) ** 2 + 8 * (1 / 16) ** 2)
    assert effective_ancestors(build_pedigree(rows), living) == pytest.approx(expected, abs=1e-12)


def test_effective_ancestors_of_uncertain_parentage_are_not_told():
    rows = [ParentRow("x", "d", "a", 0.5), ParentRow("x", "d", "b", 0.5)]
    assert effective_ancestors(build_pedigree(rows), ["x"]) is None


def test_an_unknown_father_shared_by_a_draw_is_an_ancestor():
    rows = [ParentRow(name, f"dam of {name}", None, draw=None) for name in "xyz"]
    shared = [ParentRow(name, "Ada", None, draw="jar") for name in "xyz"]
    assert effective_ancestors(build_pedigree(rows), "xyz") == pytest.approx(6)
    assert effective_ancestors(build_pedigree(shared), "xyz") == pytest.approx(2)
    assert np.isclose(founder_equivalents(contributions(build_pedigree(shared), "xyz")), 2)
