"""A fish in hand: measured, sexed, staged."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import Check, FishDetails
from registry.operations.checks import record_measurement
from registry.operations.fish import record_departure
from registry.operations.shared.entries import Day, Departure, Measurement, TagCode
from registry.permissions import Actor
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import CODES

DAY = date(2011, 4, 2)


def measured(**changes: object) -> Measurement:
    return Measurement(**{"fish": "F1", "checked_on": DAY, "total_length_mm": Decimal(712), **changes})


def test_what_was_found_on_a_fish_is_kept_with_the_tag_that_was_read(river: SimpleNamespace, staff: Actor) -> None:
    entry = measured(
        mass_g=Decimal("2310.5"), sex_found="F", stage="IV", method="biopsy", polarisation_index=Decimal("0.07"),
        oocytes_measured=20, water_c=Decimal("9.5"), code=TagCode("iso", CODES["F1"]), notes="calm",
    )  # fmt: skip
    record_measurement(staff, entry)
    check = Check.objects.get()
    assert (check.fish.number, check.tag.code, check.checked_on) == ("F1", CODES["F1"], DAY)
    assert (check.total_length_mm, check.mass_g, check.water_c) == (Decimal(712), Decimal("2310.5"), Decimal("9.5"))
    assert (check.stage, check.method, check.polarisation_index) == ("IV", "biopsy", Decimal("0.07"))
    assert (check.oocytes_measured, check.sex_found, check.notes) == (20, "F", "calm")
    assert told() == ("staff", "fish measured", "fish F1", DAY, "test")
    assert check.entry_id == last().seq


def test_who_may_measure(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: record_measurement(by, measured()))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"fish": "F9"}, "There is no fish F9 in the register."),
        ({"checked_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"checked_on": date(1999, 1, 1)}, "Fish F1 was caught 3 April 2000, after 1 January 1999."),
        ({"total_length_mm": Decimal(0)}, "0 mm is not above zero. Measure again."),
        ({"mass_g": Decimal(-3)}, "-3 g is not above zero. Measure again."),
        ({"total_length_mm": Decimal(71200)}, "71200 mm is far beyond the largest of the species"),
        ({"polarisation_index": Decimal("0.5")}, "A polarisation index of 0.5 is not possible"),
        ({"total_length_mm": None}, "Nothing was measured. Enter at least one finding."),
        ({"notes": "\x08"}, "holds a control character (U+0008) that no one can see. Type it again."),
    ],
)
def test_what_cannot_have_been_measured_is_refused(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        record_measurement(staff, measured(**changes))


def test_a_dead_fish_is_not_measured(river: SimpleNamespace, staff: Actor) -> None:
    record_departure(staff, Departure(fish="F1", left="died", left_on=Day(date(2011, 1, 1))))
    with refused("Fish F1 died 1 January 2011, before 2 April 2011."):
        record_measurement(staff, measured())


def test_another_sex_found_is_asked_about_and_does_not_change_the_record(river: SimpleNamespace, staff: Actor) -> None:
    entry = measured(sex_found="M")
    with refused("Found male, but F1 is on record as female. Both are kept; look again."):
        record_measurement(staff, entry, confirmed=False)
    record_measurement(staff, entry)
    assert Check.objects.get().sex_found == "M"
    assert FishDetails.objects.current().get(fish__number="F1").sex == "F"
