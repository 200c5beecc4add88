"""Curves: told apart without colour, uncertainty as a band, values in proportion."""

import pytest

from breeding.figures.curve import Axes, Series, curve

AXES = Axes("Generation", "Gene diversity")


def series(name: str, loss: float) -> Series:
    kept = [(1 - loss) ** at for at in range(11)]
    return Series(name, range(11), kept, [value - 0.01 for value in kept], [value + 0.01 for value in kept])


def test_six_series_differ_by_dash_and_by_marker(drawn) -> None:
    picture = drawn(curve([series(f"Plan {at}", at / 100) for at in range(1, 7)], AXES, "Plans"))
    lines = [one for one in picture.each("polyline") if "fig-series" in one.get("class")]
    assert len({one.get("stroke-dasharray") for one in lines}) == 6
    assert {f"Plan {at}, shaded: its uncertainty" for at in range(1, 7)} <= set(picture.words)
    assert len(picture.each("polygon", "fig-band")) == 6
    assert picture.overlapping_words() == []


def test_the_legend_says_what_the_band_is(drawn) -> None:
    one = Series("Plan", [0, 1], [1, 1], [0, 0], [2, 2], "9 replicates in 10")
    assert "Plan, shaded: 9 replicates in 10" in drawn(curve([one], AXES, "Plans")).words


def test_the_axes_are_named_with_their_units(drawn) -> None:
    assert {"Generation", "Gene diversity"} <= set(drawn(curve([series("Plan", 0.01)], AXES, "Plans")).words)


def test_the_band_encloses_its_line(drawn) -> None:
    picture = drawn(curve([series("Plan", 0.01)], AXES, "Plans"))
    points = lambda one: [tuple(map(float, point.split(","))) for point in one.get("points").split()]  # noqa: E731
    (band,), line = (
        map(points, picture.each("polygon", "fig-band")),
        points(picture.each("polyline", "fig-series-0")[0]),
    )
    upper, lower = band[:11], band[11:][::-1]
    assert all(high[1] < middle[1] < low[1] for high, middle, low in zip(upper, line, lower, strict=True))


def test_many_points_get_few_markers(drawn) -> None:
    picture = drawn(curve([Series("Long", range(1000), range(1000))], AXES, "Long"))
    assert len(picture.each("circle", "fig-mark")) <= 26


def test_a_single_point_is_drawn(drawn) -> None:
    assert len(drawn(curve([Series("One", [3], [0.5])], AXES, "One")).each("circle", "fig-mark")) == 2


def test_nothing_to_draw_is_said(drawn) -> None:
    assert drawn(curve([], AXES, "Plans")).words == ["No values to draw yet."]


@pytest.mark.parametrize(
    ("drawings", "sentence"),
    [
        ([Series(str(at), [0], [0]) for at in range(7)], r"7 series are too many for one picture \(limit 6\)"),
        ([Series("Plan", [0, 1], [0])], "'Plan': x, y and both bounds must have the same length"),
        ([Series("Plan", [0], [0], low=[0])], "'Plan': x, y and both bounds must have the same length"),
        ([Series("Plan", [0, 1], [0, float("nan")])], "'Plan', y: value 2 is nan"),
    ],
)
def test_series_that_cannot_be_drawn_are_refused(drawings: list[Series], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        curve(drawings, AXES, "Plans")
