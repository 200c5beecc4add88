"""The sheet of releases."""

import pytest

from registry.models import FishDetails, ReleaseDetails, Transfer
from tests.support.samples import expected, faults, shown, take_until

pytestmark = pytest.mark.django_db


def kept(values: dict[str, object]) -> dict[str, object]:
    rows = ReleaseDetails.objects.current().filter(release__released_on=values["date"], place=values["place"])
    row = rows.get(permit=values["permit"] or "")
    moved = Transfer.objects.current().filter(release=row.release).select_related("from_account__batch").first()
    fish = FishDetails.objects.current().filter(release=row.release).values_list("fish__number", flat=True)
    numbers = list(fish)
    return {
        "date": row.release.released_on.isoformat(),
        "place": row.place,
        "lat": None if row.latitude is None else pytest.approx(float(row.latitude), abs=1e-4),
        "lon": None if row.longitude is None else pytest.approx(float(row.longitude), abs=1e-4),
        "batch": moved.from_account.batch.number if moved else None,
        "fish": set(numbers) or None,
        "count": moved.count if moved else len(numbers),
        "mean_weight_g": float(row.mean_mass_g),
        "mark": row.mark,
        "permit": row.permit or None,
        "notes": row.notes,
    }


def test_every_row_is_judged_as_the_truth_says() -> None:
    take_until("batches")
    assert list(faults(shown("releases"))) == []


def test_the_register_holds_exactly_the_values_of_the_truth() -> None:
    found = take_until("releases")
    for row, values in expected(found):
        wanted = values | {"fish": set(values["fish"]) if values["fish"] else None}
        held = kept(values)
        assert {key: value for key, value in held.items() if key in wanted} == wanted, f"row {row}"


def test_released_fish_have_left_on_that_day() -> None:
    take_until("releases")
    fish = FishDetails.objects.current().get(fish__number="F103")
    assert (fish.left, fish.left_on.isoformat()) == ("released", "2025-09-11")
