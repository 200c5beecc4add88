"""Reasons are plain sentences with both values; relationship is told from kinship alone."""

import pytest

from breeding.planning.limits import Limits
from breeding.planning.proposals import Proposal
from breeding.planning.reasons import closeness, figure, refusals, standing


@pytest.mark.parametrize(
    ("kinship", "words"),
    [
        # Kinship of non-inbred relatives: Falconer & Mackay 1996, chapter 5 (from memory).
        (0, "unrelated as far as the pedigree is known"),
        (0.25, "as close as full sibs or parent and offspring"),
        (0.125, "as close as half sibs or grandparent and grandchild"),
        (0.0625, "as close as first cousins"),
        (0.03125, "as close as first cousins once removed"),
        (1 / 64, "as close as second cousins"),
        (0.125 + 1e-13, "as close as half sibs or grandparent and grandchild"),
        (
            0.1875,
            "closer than half sibs or grandparent and grandchild, "
            "though not as close as full sibs or parent and offspring",
        ),
        (0.375, "closer than full sibs or parent and offspring, though not as close as a fish and itself"),
        (0.6, "closer than a fish and itself"),
        (0.001, "less close than second cousins"),
    ],
)
def test_closeness_is_told_by_the_relatives_of_that_kinship(kinship: float, words: str) -> None:
    assert closeness(kinship) == words


def test_a_permitted_pair_has_no_reason_against_it() -> None:
    assert refusals(("F1", "M1"), 0.0625, Limits(0.0625, {("F2", "M1"): "sisters' tank"}, {"F1": 1, "M1": 3})) == []


def test_a_forbidden_pair_gives_the_reason_entered() -> None:
    limits = Limits(forbidden={("F1", "M1"): "species of M1 in doubt."})
    assert refusals(("F1", "M1"), 0, limits) == ["F1 × M1 is not to be made: species of M1 in doubt."]


def test_a_fish_that_is_used_up_is_named() -> None:
    limits = Limits(crosses_left={"F1": 0, "M1": 0})
    assert refusals(("F1", "M1"), 0, limits) == [
        "F1 has no crosses left this season.",
        "M1 has no crosses left this season.",
    ]


def test_a_kinship_barely_over_the_limit_is_told_with_enough_decimals() -> None:
    (reason,) = refusals(("F1", "M1"), 0.12500001, Limits(0.125))
    assert "is 0.12500001, over the limit of 0.125:" in reason


PAIR = Proposal(1, "F1", "M1", 0.0625, 0.9375, 0.0021, 0.02, 0.08)


def test_standing_tells_effect_parents_and_young() -> None:
    assert standing(PAIR, 24, 0.0646) == [
        "Place 1 of 24: its family raises gene diversity by 0.0021 to 0.9375.",
        "F1 carries genes that are rarer than average among the living "
        "(mean kinship 0.02, average of the living 0.0646).",
        "M1 carries genes that are commoner than average among the living "
        "(mean kinship 0.08, average of the living 0.0646).",
        "Its young have an expected inbreeding of 0.0625; the parents are as close as first cousins.",
    ]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (-0.0012, "lowers gene diversity by 0.0012 to 0.9375"),
        (0.0, "leaves gene diversity at 0.9375"),
        (-0.000001, "lowers gene diversity by less than 0.0001 to 0.9375"),
    ],
)
def test_a_loss_of_diversity_is_called_one(change: float, words: str) -> None:
    pair = Proposal(9, "F1", "M1", 0.0, 0.9375, change, 0.0646, 0.0646)
    told = standing(pair, 24, 0.0646)
    assert words in told[0]
    assert told[1].startswith("F1 carries genes that are as common as the average")


def test_figures_have_four_decimals_at_most() -> None:
    assert [figure(value) for value in (0, 0.25, 0.123456, 1, 1e-7)] == ["0", "0.25", "0.1235", "1", "less than 0.0001"]
