"""Relationship is told from kinship alone, and figures without idle noughts."""

import pytest

from breeding.planning.reasons import closeness, figure


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


def test_figures_have_four_decimals_at_most() -> None:
    assert [figure(value) for value in (0, 0.25, 0.123456, 1, 1e-7)] == ["0", "0.25", "0.1235", "1", "less than 0.0001"]
