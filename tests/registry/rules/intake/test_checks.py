"""What may be entered of a fish in hand."""

from datetime import date
from decimal import Decimal

from registry.rules.intake.checks import Measurement, objections_to_measurement
from registry.rules.known import Known


def codes(known: Known, **entry: object) -> list[str]:
    whole = {"fish": "D1", "checked_on": date(2015, 3, 2), "mass_g": Decimal(900), **entry}
    return [o.code for o in objections_to_measurement(Measurement(**whole), known)]


def test_a_sterlet_of_900_g_is_taken(known: Known) -> None:
    assert codes(known) == []


def test_nothing_is_measured_before_hatching_after_death_or_in_the_future(known: Known) -> None:
    assert codes(known, checked_on=date(2010, 5, 8)) == ["before_hatch"]
    assert codes(known, fish="M2", checked_on=date(2009, 1, 6)) == ["after_death"]
    assert codes(known, checked_on=date(2026, 3, 2)) == ["future_date"]


def test_a_length_far_beyond_the_published_maximum_is_a_slip_of_the_pen(known: Known) -> None:
    # Largest published sterlet: 125 cm (species catalogue, section 2.3: FAO fact sheet, FishBase).
    assert codes(known, total_length_mm=Decimal(1200), mass_g=None) == []
    assert codes(known, total_length_mm=Decimal(84500), mass_g=None) == ["implausible"]


def test_a_mass_of_zero_or_below_is_refused(known: Known) -> None:
    assert codes(known, mass_g=Decimal(-1200)) == ["negative"]


def test_a_sex_found_against_the_record_is_pointed_out_and_both_are_kept(known: Known) -> None:
    found = objections_to_measurement(Measurement(fish="D1", checked_on=date(2015, 3, 2), sex_found="M"), known)
    assert [(o.warning, o.message) for o in found] == [
        (True, "Found male, but D1 is on record as female. Both are kept; look again.")
    ]


def test_a_polarisation_index_lies_below_one_half(known: Known) -> None:
    # PI = distance of the nucleus from the membrane / egg diameter, so below 1/2 by geometry (EDIS FA153).
    assert codes(known, polarisation_index=Decimal("0.070")) == []
    assert codes(known, polarisation_index=Decimal("0.5")) == ["implausible"]


def test_a_check_finds_something(known: Known) -> None:
    assert codes(known, mass_g=None) == ["nothing_measured"]
