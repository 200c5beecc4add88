"""The sheet of fish in hand."""

import pytest

from registry.models import Check
from tests.support.samples import expected, faults, shown, take_until

pytestmark = pytest.mark.django_db


def test_every_row_is_judged_as_the_truth_says() -> None:
    take_until("releases")
    assert list(faults(shown("measurements"))) == []


def test_the_register_holds_exactly_the_values_of_the_truth() -> None:
    found = take_until("measurements")
    kept = {
        (check.fish.number, check.checked_on.isoformat()): (
            None if check.total_length_mm is None else float(check.total_length_mm),
            None if check.mass_g is None else float(check.mass_g),
            check.sex_found or "U",
            check.stage or None,
            check.notes,
        )
        for check in Check.objects.current().select_related("fish")
    }
    for row, values in expected(found):
        *measured, notes = kept[(values["fish"], values["date"])]
        assert measured == [values["tl_mm"], values["weight_g"], values["sex"], values["stage"]], f"row {row}"
        assert notes == values.get("notes", notes), f"row {row}"


def test_a_check_names_the_tag_that_was_read() -> None:
    take_until("measurements")
    check = Check.objects.current().get(fish__number="M101", checked_on="2019-03-04")
    assert check.tag.code == "900215202146383"
