"""The sheet of spawnings."""

import pytest

from registry.models import Cross, CrossSire
from tests.support.samples import expected, faults, shown, take_until

pytestmark = pytest.mark.django_db


def number(value: object) -> float | None:
    return None if value is None else float(value)  # type: ignore[arg-type]


def kept(family: str) -> dict[str, object]:
    cross = Cross.objects.current().select_related("spawning", "dam").get(family__number=family)
    sires = list(CrossSire.objects.current().filter(cross=cross).order_by("pk").select_related("sire"))
    return {
        "date": cross.spawning.spawned_on.isoformat(),
        "dam": cross.dam.number,
        "sires": [row.sire.number for row in sires],
        "egg_weight_g": number(cross.egg_mass_g),
        "eggs_per_g": number(cross.eggs_per_g),
        "portion": cross.portion or None,
        "motility": number(sires[0].motility_percent),
        "fertilisation": number(cross.fertilisation_percent),
        "family": family,
    }


def test_every_row_is_judged_as_the_truth_says() -> None:
    take_until("tags")
    assert list(faults(shown("spawnings"))) == []


def test_the_register_holds_exactly_the_values_of_the_truth() -> None:
    found = take_until("spawnings")
    for row, values in expected(found):
        notes = values.get("notes")
        assert kept(values["family"]) == {key: value for key, value in values.items() if key != "notes"}, f"row {row}"
        if notes is not None:
            assert Cross.objects.current().get(family__number=values["family"]).notes == notes


def test_a_family_of_the_fish_sheet_gets_its_cross_and_keeps_one_parentage() -> None:
    take_until("spawnings")
    cross = Cross.objects.current().get(family__number="18-01")
    assert cross.family.parents.count() == 1
    assert {float(row.share) for row in CrossSire.objects.current().filter(cross=cross)} == {0.5}


def test_frozen_milt_in_the_remarks_lets_a_dead_male_be_a_sire() -> None:
    take_until("spawnings")
    assert CrossSire.objects.current().get(cross__family__number="23-01").frozen_milt
