"""The growth picture: length and mass against dates, round ticks, units told."""

from datetime import date

import pytest

from breeding.figures.growth_chart import GrowthPoint, growth_chart

YEARS = [GrowthPoint(date(2014 + at, 5, 3), 300 + 60 * at, 200 * (at + 1) ** 2) for at in range(8)]


def marks(picture, name: str) -> list[tuple[float, float]]:
    corner, size = ("cx", "cy") if name == "circle" else ("x", "y"), 0 if name == "circle" else 3.5
    return [
        (float(one.get(corner[0])) + size, float(one.get(corner[1])) + size) for one in picture.each(name, "fig-mark")
    ]


def test_length_and_mass_have_a_panel_each_with_its_unit(drawn) -> None:
    picture = drawn(growth_chart(YEARS, "ISE-2014-012"))
    assert {"Length (mm)", "Mass (g)"} <= set(picture.words)
    assert picture.title == "Growth of ISE-2014-012"
    assert len(marks(picture, "circle")) == len(marks(picture, "rect")) == 8


def test_places_are_in_proportion_to_days_and_millimetres(drawn) -> None:
    points = [
        GrowthPoint(date(2024, 1, 1), 100),
        GrowthPoint(date(2024, 1, 11), 200),
        GrowthPoint(date(2024, 1, 31), 150),
    ]
    (x1, y1), (x2, y2), (x3, y3) = marks(drawn(growth_chart(points)), "circle")
    assert (x2 - x1) / (x3 - x1) == pytest.approx(10 / 30, abs=1e-3)
    assert (y1 - y3) / (y1 - y2) == pytest.approx(50 / 100, abs=1e-3)


def test_measurements_are_drawn_in_order_of_date_whatever_order_they_come_in(drawn) -> None:
    assert growth_chart(YEARS[::-1]) == growth_chart(YEARS)
    places = marks(drawn(growth_chart(YEARS)), "circle")
    assert places == sorted(places)


def test_a_measure_that_was_never_taken_has_no_panel(drawn) -> None:
    picture = drawn(growth_chart([GrowthPoint(date(2024, 5, 3), mass_g=1200)]))
    assert "Mass (g)" in picture.words
    assert "Length (mm)" not in picture.words
    assert picture.each("polyline") == []


def test_two_measurements_of_one_day_are_both_shown(drawn) -> None:
    points = [GrowthPoint(date(2024, 5, 3), 500), GrowthPoint(date(2024, 5, 3), 512)]
    assert len(marks(drawn(growth_chart(points)), "circle")) == 2


def test_words_keep_apart(drawn) -> None:
    assert drawn(growth_chart(YEARS)).overlapping_words() == []


def test_the_description_tells_first_and_last(drawn) -> None:
    told = drawn(growth_chart(YEARS)).description
    assert told.startswith("Length from 300 mm on 3 May 2014 to 720 mm on 3 May 2021, 8 measurements. Mass from 200 g")


def test_no_measurement_says_what_to_do(drawn) -> None:
    assert "enter a measurement first" in drawn(growth_chart([])).words[0]


@pytest.mark.parametrize(
    ("point", "sentence"),
    [
        (GrowthPoint(date(2024, 5, 3), length_mm=float("nan")), "Length: value 1 is nan"),
        (GrowthPoint(date(2024, 5, 3), mass_g=-3), "Mass on 3 May 2024 is -3; it must be above zero"),
    ],
)
def test_a_size_that_cannot_be_is_refused(point: GrowthPoint, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        growth_chart([point])
