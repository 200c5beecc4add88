"""Scores of determination: against their definition, in any order, and with what was not looked at left out."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.rules.identity.characters import BY_KEY, CHARACTERS
from registry.rules.identity.fit import APART, alike, chance_of_look, chance_of_number, fits
from registry.rules.identity.flags import flags
from registry.rules.identity.next_look import entropy, next_looks
from registry.rules.identity.profile import Profile, Seen, Span
from registry.rules.identity.shared import differences, shared
from tests.support.sturgeons import catalogue

SPECIES = catalogue()
EVERY = list(SPECIES.values())
STATES = {one.key: [state.key for state in one.states] for one in CHARACTERS if one.states}
NUMBERS = [one.key for one in CHARACTERS if not one.states]


@st.composite
def fish(draw: st.DrawFn) -> Seen:
    numbers = draw(st.dictionaries(st.sampled_from(NUMBERS), st.tuples(st.integers(0, 80).map(float)), max_size=6))
    keys = draw(st.lists(st.sampled_from(sorted(STATES)), unique=True, max_size=8))
    return Seen(numbers, {key: draw(st.sampled_from(STATES[key])) for key in keys})


@pytest.mark.parametrize(
    ("value", "chance"),
    [(12, 1), (14, 1), (10, 0.5), (17, 0.5), (9, 0.1), (18, 0.1), (8, 0.01), (40, 0.01)],
)
def test_a_count_is_certain_where_usual_and_falls_tenfold_for_each_scute_beyond_the_widest_range(
    value: float, chance: float
) -> None:
    assert chance_of_number(value, Span(10, 12, 14, 17), edge=1) == pytest.approx(chance)


def test_a_range_without_an_end_is_open_there() -> None:
    assert chance_of_number(500, Span(low=56), edge=1) == 1
    assert chance_of_number(3, Span(high=60), edge=1) == 1
    assert chance_of_number(55, Span(low=56), edge=1) == pytest.approx(0.1)


def test_looks_share_out_one_observer_in_twenty_over_the_others() -> None:
    shares = {"smooth": 0.6, "partly_fringed": 0.4}
    chances = [chance_of_look(state, shares, 4) for state in ("smooth", "partly_fringed", "fringed", "leaf")]
    assert math.fsum(chances) == pytest.approx(1)
    assert chances[0] == pytest.approx(0.6 * 0.95 + 0.4 * 0.05 / 3)
    assert chances[2] == pytest.approx(0.05 / 3)


@given(fish())
def test_the_score_is_the_sum_of_log_chances_over_what_was_seen(seen: Seen) -> None:
    for fit in fits(seen, EVERY):
        assert {term.character for term in fit.terms} == set(seen.characters)
        assert fit.score == pytest.approx(sum(math.log(term.chance) for term in fit.terms))
        assert fit.score <= 1e-12


@given(fish(), st.randoms())
def test_the_order_in_which_characters_and_species_come_changes_nothing(seen: Seen, dice) -> None:
    numbers, looks, species = list(seen.numbers.items()), list(seen.looks.items()), list(EVERY)
    for listed in (numbers, looks, species):
        dice.shuffle(listed)
    again = fits(Seen(dict(numbers), dict(looks)), species)
    first = fits(seen, EVERY)
    assert [fit.profile.key for fit in again] == [fit.profile.key for fit in first]
    assert [fit.score for fit in again] == pytest.approx([fit.score for fit in first])


@given(fish(), st.sampled_from(sorted(STATES)))
def test_what_was_not_looked_at_gives_no_term(seen: Seen, key: str) -> None:
    without = Seen(seen.numbers, {name: look for name, look in seen.looks.items() if name != key})
    empty = Seen(seen.numbers, {**without.looks, key: ""})
    assert [(fit.profile.key, fit.score) for fit in fits(empty, EVERY)] == [
        (fit.profile.key, fit.score) for fit in fits(without, EVERY)
    ]


def test_nothing_seen_tells_no_species_apart() -> None:
    found = fits(Seen(), EVERY)
    assert {fit.score for fit in found} == {0.0}
    assert len(alike(found)) == len(EVERY)


def test_counts_of_both_sides_weigh_as_one_character() -> None:
    one, both = (fits(Seen({"lateral_scutes": sides}), EVERY) for sides in ((44.0,), (44.0, 44.0)))
    assert [fit.score for fit in one] == pytest.approx([fit.score for fit in both])


def test_a_species_of_which_nothing_is_published_is_neither_favoured_nor_blamed() -> None:
    known = Profile("a", "A", spans={"dorsal_scutes": Span(10, high=12)})
    other = Profile("b", "B", spans={"dorsal_scutes": Span(14, high=16)})
    silent = Profile("c", "C")
    found = {fit.profile.key: fit for fit in fits(Seen({"dorsal_scutes": (11.0,)}), [known, other, silent])}
    assert found["a"].score > found["c"].score > found["b"].score
    assert found["c"].disagreeing == ()


@given(fish())
def test_the_best_and_those_within_ln_3_of_it_are_not_separable(seen: Seen) -> None:
    found = fits(seen, EVERY)
    best = alike(found)
    assert best == found[: len(best)]
    assert all(found[0].score - fit.score >= APART for fit in found[len(best) :])


@given(fish())
def test_a_further_look_is_expected_to_gain_something_and_never_more_than_is_open(seen: Seen) -> None:
    found = fits(seen, EVERY)
    weights = [math.exp(fit.score - found[0].score) for fit in found]
    now = entropy([weight / sum(weights) for weight in weights])
    gains = next_looks(seen, found)
    assert all(-1e-9 <= gain.bits <= now + 1e-9 for gain in gains)
    assert not {gain.character for gain in gains} & set(seen.characters)
    assert [gain.bits for gain in gains] == sorted((gain.bits for gain in gains), reverse=True)


def test_the_look_that_splits_two_species_evenly_is_worth_a_bit() -> None:
    """H(S) − Σ P(o) H(S | o) of two equally likely species, the look misread by one in twenty, by hand."""
    one = Profile("a", "A", looks={"fin_seams": {"white": 1.0}}, spans={"dorsal_scutes": Span(10, high=12)})
    two = Profile("b", "B", looks={"fin_seams": {"none": 1.0}}, spans={"dorsal_scutes": Span(10, high=12)})
    gains = {gain.character: gain.bits for gain in next_looks(Seen(), fits(Seen(), [one, two]))}
    assert gains["fin_seams"] == pytest.approx(1 - entropy([0.95, 0.05]))
    assert gains["dorsal_scutes"] == pytest.approx(0, abs=1e-12)
    assert set(gains) == {"fin_seams", "dorsal_scutes"}


def test_two_species_share_nothing_of_a_character_that_always_separates_them() -> None:
    sterlet, siberian = SPECIES["ruthenus"], SPECIES["baerii"]
    assert shared("fin_seams", sterlet, siberian) == 0
    assert shared("lower_lip", sterlet, siberian) == 1
    assert shared("lateral_scutes", sterlet, siberian) == pytest.approx(7 / 40)  # 56–62 of 32–71
    found = dict(differences(sterlet, siberian))
    assert "fin_seams" in list(found)[:3]
    assert found == dict(differences(siberian, sterlet))


@pytest.mark.parametrize(
    ("seen", "code", "words"),
    [
        (Seen(looks={"lower_lip": "partly"}), "hybrid", "Lower lip cut in part"),
        (
            Seen({"lateral_scutes": (64.0,)}, {"fin_seams": "white", "barbel_form": "partly_fringed"}),
            "hybrid", "barbels fringed in part",
        ),
        (
            Seen({"lateral_scutes": (64.0,)}, {"fin_seams": "white", "barbel_form": "smooth"}),
            "hybrid", "fin seams: as in Sterlet; barbels, form: as in Siberian sturgeon",
        ),
        (Seen(looks={"fin_seams": "none"}, signs=("fat",)), "farmed", "Body too fat."),
    ],
)  # fmt: skip
def test_flags_say_why(seen: Seen, code: str, words: str) -> None:
    found = {flag.code: flag for flag in flags(seen, fits(seen, [SPECIES["ruthenus"], SPECIES["baerii"]]))}
    assert words.lower() in found[code].words.lower()


def test_a_fish_that_its_river_does_not_know_is_flagged_only_where_the_catalogue_says_so() -> None:
    stranger = replace(SPECIES["baerii"], rivers={"Isendre": "not native"})
    for river, expected in (("Isendre", ["not_native"]), ("Quern", []), ("", [])):
        seen = Seen(looks={"raker_form": "fan"}, river=river)
        assert [flag.code for flag in flags(seen, fits(seen, [stranger, SPECIES["huso"]]))] == expected


def test_every_look_of_the_catalogue_is_one_that_can_be_chosen() -> None:
    for profile in EVERY:
        for character, shares in profile.looks.items():
            assert set(shares) <= {state.key for state in BY_KEY[character].states}
            assert math.fsum(shares.values()) == pytest.approx(1)
