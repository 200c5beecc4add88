"""Positions in the notations of maps and receivers; one place written in each, 60 minutes a degree (ISO 6709)."""

from decimal import Decimal

import pytest

from registry.sheets.positions import Position, read_position

# 47°09'39.2" = 47 + 9/60 + 39.2/3600 = 47.160889; 31°24'23.4" = 31 + 24/60 + 23.4/3600 = 31.4065
PLACE = Position(Decimal("47.160889"), Decimal("-31.406500"))


def refused_on(lat, lon) -> list[str]:
    reading = read_position(lat, lon)
    assert reading.value is None
    assert {o.code for o in reading.objections} == {"bad_position"}
    return [o.field for o in reading.objections]


@pytest.mark.parametrize(
    ("lat", "lon"),
    [
        (47.160889, -31.4065),
        ("47.160889", "-31.4065"),
        ("47,160889", "−31,4065"),
        ("47°09'39.2\"N", "31°24'23.4\"W"),
        ("47° 09′ 39.2″ N", "31° 24′ 23.4″ W"),
        ("N 47 09 39.2", "W 31 24 23.4"),
        ("N 47.160889", "W 31.4065"),
        ("47.160889°", "31.4065 w"),
        ("47:09:39.2", "-31:24:23.4"),
    ],
)
def test_one_place_is_the_same_in_every_notation(lat, lon):
    assert read_position(lat, lon).value == PLACE


def test_degrees_with_decimal_minutes_are_read():
    # 12.450 / 60 = 0.2075; 26.604 / 60 = 0.4434
    assert read_position("47 12.450 N", "31 26.604 W").value == Position(Decimal("47.207500"), Decimal("-31.443400"))


def test_no_position_is_a_warning_and_half_of_one_a_refusal():
    reading = read_position(None, " ")
    assert (reading.value, reading.refused) == (None, False)
    assert [(o.code, o.field) for o in reading.objections] == [("no_position", "lat")]
    assert refused_on("47.16", None) == ["lon"]


@pytest.mark.parametrize(
    ("lat", "lon", "fields"),
    [
        (147.21, -31.3393, ["lat"]),
        (47.21, 181, ["lon"]),
        ("31.4 W", "47.1 N", ["lat", "lon"]),
        ("47 61.0 N", "31 26.6 W", ["lat"]),
        ("-47.1 N", "31.4 W", ["lat"]),
        ("47.5 30.0", "31.4", ["lat"]),
        ("47 9 39 1", "31.4", ["lat"]),
        ("at the weir", "31.4", ["lat"]),
        (True, "31.4", ["lat"]),
    ],
)
def test_what_is_no_place_on_earth_is_refused_at_its_cell(lat, lon, fields):
    assert refused_on(lat, lon) == fields


def test_the_poles_and_the_date_line_are_on_earth():
    assert read_position("90 N", "180 W").value == Position(Decimal(90), Decimal(-180))
