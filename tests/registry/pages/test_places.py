"""Holding units: opened, what is in them, how warm their water is."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from registry.models import HoldingUnit, JournalEntry, Temperature
from registry.operations.fish import FishMove, admit_fish, move_fish
from registry.operations.people import installer
from registry.operations.places import UnitOpened, open_unit
from tests.support.river import POND, founder, small_river

pytestmark = pytest.mark.django_db
UNIT = {"name": "Jar 3", "kind": "jar", "facility": "Brackenholt Weir Hatchery", "water_system": "Weir water"}


@pytest.fixture
def river():
    return small_river()


def test_the_administrator_opens_a_unit_with_its_water(client_of, river):
    assert client_of("administrator").post("/enter/unit/", UNIT).url == "/units/Jar%203/"

    unit = HoldingUnit.objects.get(name="Jar 3")
    assert (unit.facility.name, unit.water_system.name) == ("Brackenholt Weir Hatchery", "Weir water")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"name": "tank 1"}, "A unit named “tank 1” cannot be opened. Take another name."),
        ({"kind": "bucket"}, "Select a valid choice."),
        ({"facility": ""}, "Facility is missing. Fill it in."),
    ],
)
def test_a_unit_that_cannot_be_is_refused(client_of, river, typed, sentence):
    before = JournalEntry.objects.count()

    answer = client_of("administrator").post("/enter/unit/", UNIT | typed)

    assert sentence in answer.content.decode()
    assert (HoldingUnit.objects.count(), JournalEntry.objects.count()) == (2, before + 1)  # the role itself


def test_only_the_administrator_opens_units(client_of, river):
    assert client_of("staff").post("/enter/unit/", UNIT).status_code == 403


def test_a_unit_s_page_says_who_is_in_it(client_of, river):
    move_fish(river.by, FishMove(fish="F2", unit=POND, moved_on=date(2012, 5, 1)))

    text = client_of("staff").get("/units/Pond%202/").content.decode()

    assert '<a href="/fish/F2/">F2</a>' in text
    assert "/fish/F1/" not in text
    assert "B1" in text
    assert "1 fish, 1 batch with 1\N{NARROW NO-BREAK SPACE}000 fish" in text


def test_a_temperature_is_logged_for_the_water_that_units_share(client_of, river):
    client_of("administrator").post("/enter/unit/", UNIT)
    hall = client_of("staff")
    water = str(HoldingUnit.objects.get(name="Jar 3").water_system_id)

    assert hall.post(
        "/enter/temperature/", {"water_system": water, "water_c": "12,4", "read_at": "2020-05-03T06:30"}
    ).url == "/units/"  # fmt: skip
    assert Temperature.objects.get().water_c == Decimal("12.4")
    assert "12.4 °C on 3 May 2020, 06:30" in hall.get("/units/Jar%203/").content.decode()

    later = f"{timezone.localtime() + timedelta(hours=2):%Y-%m-%dT%H:%M}"
    for typed, sentence in (
        ({"water_c": "72"}, "72 °C is not a water temperature. Read again."),
        ({"read_at": later}, "This time lies in the future. Correct it."),
    ):
        entry = {"water_system": water, "water_c": "12", "read_at": "2020-05-04T06:30"} | typed
        assert sentence in hall.post("/enter/temperature/", entry).content.decode()
    assert Temperature.objects.count() == 1


def test_list_and_page_cost_the_same_for_few_and_for_many(client_of, river):
    client = client_of("staff")
    costs = []
    for more in (0, 30):
        for n in range(more):
            admit_fish(river.by, founder(f"U{n:02d}"))
            open_unit(installer("test"), UnitOpened(name=f"Trough {n}", kind="trough", facility="Quern Mill"))
        client.get("/units/")
        with CaptureQueriesContext(connection) as queries:
            client.get("/units/?per_page=100")
            client.get("/units/Tank%201/")
        costs.append(len(queries))

    assert costs[0] == costs[1]
