"""The trade-off of a plan: every point a plan to take, numbered as in the table, in proportion to its figures."""

import pytest

from breeding.figures.trade_off import Choice, trade_off

CURVE = [
    Choice(0.9631, 0.0312, "/plans/P1/take/1/"),
    Choice(0.9629, 0.0156, "/plans/P1/take/2/"),
    Choice(0.9590, 0.0, "/plans/P1/take/3/"),
]


def points(picture) -> list[tuple[float, float]]:
    groups = [
        one for one in picture.each("g", "fig-series-0") if one.find(".//{http://www.w3.org/2000/svg}a") is not None
    ]
    found = [one.find(".//{http://www.w3.org/2000/svg}circle") for one in groups]
    return [(float(one.get("cx")), float(one.get("cy"))) for one in found]


def test_each_plan_is_a_link_that_takes_it_with_its_figures_in_words(drawn) -> None:
    picture = drawn(trade_off(CURVE, "Diversity against inbreeding"))

    assert [one.get("href") for one in picture.each("a")] == [one.address for one in CURVE]
    assert "Plan 2: gene diversity 0.9629, mean inbreeding 0.0156" in picture.source
    assert {"1", "2", "3"} <= set(picture.words)
    assert picture.overlapping_words() == []


def test_points_stand_in_proportion(drawn) -> None:
    (a, b, c) = points(drawn(trade_off(CURVE, "Diversity against inbreeding")))

    assert (a[0] - b[0]) / (b[0] - c[0]) == pytest.approx(1, abs=0.02)
    assert (b[1] - a[1]) / (c[1] - b[1]) == pytest.approx(0.0002 / 0.0039, abs=0.01)


def test_the_plan_at_hand_is_a_ring_told_apart_in_words(drawn) -> None:
    picture = drawn(trade_off(CURVE, "Diversity against inbreeding", here=Choice(0.96, 0.02)))

    assert "the plan as it stands" in picture.words
    assert "The plan as it stands: 0.9600 at 0.0200." in picture.description


def test_plans_that_lie_close_together_keep_their_words_apart(drawn) -> None:
    close = [Choice(0.9631 - at * 1e-6, 0.03 - at * 1e-4, f"/p/{at}/") for at in range(9)]
    picture = drawn(trade_off([*close, Choice(0.9, 0.0, "/p/9/")], "Diversity against inbreeding"))

    assert len(picture.each("a")) == 10
    assert picture.overlapping_words() == []


def test_one_plan_alone_is_drawn_and_none_is_said(drawn) -> None:
    assert len(drawn(trade_off(CURVE[:1], "Diversity against inbreeding")).each("a")) == 1
    assert "No plans to choose from yet." in drawn(trade_off([], "Diversity against inbreeding")).words


def test_a_figure_that_is_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match="Gene diversity: value 1 is nan"):
        trade_off([Choice(float("nan"), 0.0)], "Diversity against inbreeding")
