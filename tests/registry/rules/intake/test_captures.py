"""What is asked of a capture, of the search for marks, and of lengths and masses."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from registry.errors import Objection
from registry.rules.intake.captures import WAYS, CaptureMade, MarkLooked, objections_to_capture, objections_to_marks
from registry.rules.intake.checks import Measurement, fulton, objections_to_measurement
from registry.rules.known import Known
from tests.registry.rules.conftest import TODAY

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
EVERYWHERE = tuple(MarkLooked(way=way, looked=True) for way in WAYS)


def caught(**changes: object) -> list[Objection]:
    whole = {
        "fish": "N1", "caught_at": NOW - timedelta(hours=5), "zone": "UTC", "place": "Alder Ford", "permit": "P",
        "latitude": Decimal("44.5"), "longitude": Decimal("29.25"),
    }  # fmt: skip
    return objections_to_capture(CaptureMade(**{**whole, **changes}), NOW)


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"place": ""}, "place", "The place is missing"),
        ({"caught_at": NOW + timedelta(minutes=1)}, "caught_at", "1 March 2026, 12:01 (UTC) lies in the future"),
        ({"latitude": Decimal(91)}, "latitude", "Latitude 91 is not on Earth"),
        ({"longitude": None}, "longitude", "The longitude is missing"),
        ({"latitude": None, "longitude": None, "uncertainty_m": 5}, "uncertainty_m", "without a position"),
        ({"transport_minutes": 99999}, "transport_minutes", "99999 min is not possible"),
        ({"river_km": Decimal(-1)}, "river_km", "-1 km is not possible"),
        ({"gear": "n\x00et"}, "gear", "control character"),
    ],
)
def test_a_capture_that_cannot_have_been_is_refused(changes: dict[str, object], field: str, sentence: str) -> None:
    assert [(o.field, sentence in o.message) for o in caught(**changes) if not o.warning] == [(field, True)]


def test_a_capture_without_permit_or_with_little_oxygen_is_asked_about() -> None:
    assert caught() == []
    assert [(o.code, o.warning) for o in caught(permit="", oxygen_mg_l=Decimal("3.1"))] == [
        ("low_oxygen", True), ("no_permit", True),
    ]  # fmt: skip


def test_every_way_of_looking_for_marks_is_asked_for() -> None:
    assert objections_to_marks(EVERYWHERE, "wild") == []
    (missed,) = objections_to_marks([MarkLooked(way="pit", looked=True)], "wild")
    assert missed.warning
    assert "Not looked for: scan for older PIT tags, coded wire, elastomer under UV light" in missed.message
    assert "PIT scan of the whole body" not in missed.message


def test_a_mark_on_a_fish_taken_for_wild_is_asked_about_and_none_is_found_where_nobody_looked() -> None:
    clipped = [*EVERYWHERE[:5], MarkLooked(way="clip", looked=True, found="left barbel"), EVERYWHERE[6]]
    assert [o.code for o in objections_to_marks(clipped, "wild")] == ["marked"]
    assert objections_to_marks(clipped, "unknown") == []
    blind = [*EVERYWHERE[:6], MarkLooked(way="scar", looked=False, found="a scar")]
    assert [o.field for o in objections_to_marks(blind, "wild") if not o.warning] == ["marks.scar"]


def test_the_condition_factor_is_fultons() -> None:
    # Yelghi et al. 2013, stellate sturgeon of the southern Caspian: 10.3 kg at 125.26 cm fork length; K = 100 W/L³.
    assert round(fulton(Decimal("1252.6"), Decimal(10300)), 3) == Decimal("0.524")
    assert fulton(None, Decimal(1)) is fulton(Decimal(0), Decimal(1)) is None


@pytest.mark.parametrize(
    ("sizes", "code", "warning"),
    [
        ({"total_length_mm": 800, "mass_g": 2800}, None, False),
        ({"total_length_mm": 800, "mass_g": 11000}, "odd_condition", True),
        ({"total_length_mm": 800, "mass_g": 28}, "odd_condition", True),
        ({"total_length_mm": 800, "fork_length_mm": 810}, "implausible", False),
        ({"total_length_mm": 800, "girth_mm": 900}, "implausible", False),
        ({"total_length_mm": 1300}, "record_size", True),  # sterlet, largest on record 1,250 mm
    ],
)
def test_lengths_and_masses_that_do_not_fit_are_asked_about(
    sizes: dict[str, int], code: str | None, warning: bool, known: Known
) -> None:
    told = {name: Decimal(value) for name, value in sizes.items()}
    found = objections_to_measurement(Measurement(fish="F1", checked_on=TODAY, **told), known)
    assert [(o.code, o.warning) for o in found] == ([(code, warning)] if code else [])
