"""Generations in captivity. Definitions from memory: CITES, Res. Conf. 10.16 (Rev.), F1 and F2 or later."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.rules.papers.generations import Generations, generations, spread

# W1 W2 wild   C captive, parents unknown   U origin unknown
#  A = W1×W2   B = A×W2   D = A×B   E = C×A   G = D×?   P = A×B or D×D
ORIGINS = {"W1": "wild", "W2": "wild", "C": "captive", "U": "unknown"}
PARENTS = {
    "A": [("W1", "W2")],
    "B": [("A", "W2")],
    "D": [("A", "B")],
    "E": [("C", "A")],
    "G": [("D", None)],
    "H": [("U", "D")],
    "P": [("A", "B"), ("D", "D")],
    "Q": [("C", "C")],
}


@pytest.mark.parametrize(
    ("fish", "words"),
    [
        ("W1", "0"),
        ("A", "1"),  # F1: both parents from the wild
        ("B", "1"),  # F1: one parent from the wild is enough
        ("D", "2"),  # both parents born in captivity
        ("C", "1 or more"),
        ("U", "not known"),
        ("E", "2"),  # one parent is of generation 1 for certain, the other of 1 or more
        ("G", "1 to 3"),  # the unknown parent may be wild; if not, D says the most
        ("H", "1 to 3"),
        ("P", "2 to 3"),
        ("Q", "2 or more"),
    ],
)
def test_generations_are_told_as_far_as_the_parents_are_known(fish: str, words: str) -> None:
    assert str(generations(PARENTS, ORIGINS)[fish]) == words


def test_several_fish_together_span_from_the_least_to_the_most() -> None:
    found = generations(PARENTS, ORIGINS)
    assert spread([found["A"], found["D"]]) == Generations(1, 2)
    assert spread([found["A"], found["C"]]) == Generations(1, None)
    assert str(spread([])) == "not known"


def test_a_fish_that_is_its_own_ancestor_is_named() -> None:
    with pytest.raises(ValueError, match="X is its own ancestor"):
        generations({"X": [("Y", "W1")], "Y": [("X", "W1")]}, ORIGINS)


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), max_size=20))
def test_with_known_parents_the_generation_is_one_more_than_the_lesser(pairs: list[tuple[int, int]]) -> None:
    parents = {3 + n: [(dam % (3 + n), sire % (3 + n))] for n, (dam, sire) in enumerate(pairs)}
    found = generations(parents, dict.fromkeys(range(3), "wild"))
    for fish, ((dam, sire),) in parents.items():
        assert found[fish].least == found[fish].most == 1 + min(found[dam].least, found[sire].least)
