"""Facilities, water systems, holding units and temperatures."""

from datetime import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from registry.models import Facility, HoldingUnit, Temperature, WaterSystem
from registry.operations.places import TemperatureRead, UnitOpened, log_temperature, open_unit
from registry.permissions import Actor
from tests.support.proof import ADMINISTERING, ENTERING, last, only_those_who_may, refused, told

WEIR = "Brackenholt Weir Hatchery"
pytestmark = pytest.mark.django_db


def unit(**changes: object) -> UnitOpened:
    return UnitOpened(**{"name": "Tank 1", "kind": "tank", "facility": WEIR, "water_system": "River", **changes})


def read(**changes: object) -> TemperatureRead:
    at = datetime(2011, 5, 3, 8, tzinfo=timezone.get_current_timezone())
    whole = {"facility": WEIR, "water_system": "River", "read_at": at, "water_c": Decimal("11.5")}
    return TemperatureRead(**{**whole, **changes})


def test_units_open_their_facility_and_water_once(administrator: Actor) -> None:
    open_unit(administrator, unit())
    row = open_unit(administrator, unit(name="Jar 1", kind="jar"))
    assert (row.name, row.kind, row.facility.name, row.water_system.name) == ("Jar 1", "jar", WEIR, "River")
    assert (Facility.objects.count(), WaterSystem.objects.count(), HoldingUnit.objects.count()) == (1, 1, 2)
    assert told()[:3] == ("administrator", "unit opened", "unit Jar 1")
    assert row.entry_id == last().seq


def test_a_unit_may_stand_on_no_water_system_of_the_register(administrator: Actor) -> None:
    assert open_unit(administrator, unit(water_system="")).water_system is None


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"name": "tank 1"}, "A unit named “tank 1” cannot be opened. Take another name."),
        ({"name": ""}, "A unit named “” cannot be opened. Take another name."),
        ({"name": "T2", "kind": "bucket"}, "“bucket” is not one of tank, pond, cage, trough, jar."),
        ({"name": "T2", "facility": ""}, "Say in which facility the unit stands."),
        ({"name": "T\x07"}, "holds a control character (U+0007)"),
    ],
)
def test_a_unit_that_cannot_be_is_not_opened(administrator: Actor, changes: dict[str, object], sentence: str) -> None:
    open_unit(administrator, unit())
    with refused(sentence):
        open_unit(administrator, unit(**changes))


def test_a_temperature_is_of_a_water_system_at_a_moment(administrator: Actor, staff: Actor) -> None:
    open_unit(administrator, unit())
    row = log_temperature(staff, read())
    assert (row.water_system.name, row.water_c, row.read_at) == ("River", Decimal("11.5"), read().read_at)
    assert told() == ("staff", "temperature read", "water River", read().read_at.date(), "test")


def test_who_may_open_units_and_who_may_read_temperatures(administrator: Actor) -> None:
    only_those_who_may(ADMINISTERING, lambda by: open_unit(by, unit()))
    open_unit(administrator, unit())
    only_those_who_may(ENTERING, lambda by: log_temperature(by, read()))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"water_system": "Sea"}, "There is no water system “Sea”."),
        ({"facility": "Quern Mill"}, "There is no water system “River”."),
        ({"water_c": Decimal("-2.1")}, "-2.1 °C is not a water temperature. Read again."),
        ({"water_c": Decimal("40.1")}, "40.1 °C is not a water temperature. Read again."),
        (
            {"read_at": datetime(2999, 1, 1, 8, tzinfo=timezone.get_current_timezone())},
            "This moment lies in the future. Correct it.",
        ),
    ],
)
def test_a_temperature_that_cannot_be_is_refused(
    administrator: Actor, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    open_unit(administrator, unit())
    with refused(sentence):
        log_temperature(staff, read(**changes))
    assert not Temperature.objects.exists()


def test_a_moment_has_one_temperature(administrator: Actor, staff: Actor) -> None:
    open_unit(administrator, unit())
    log_temperature(staff, read())
    with refused("The register already holds something that contradicts this"):
        log_temperature(staff, read(water_c=Decimal("12.5")))
