"""Which fish of the register the one in hand may be: asked in a fixed number of queries."""

from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.operations.checks import record_measurement
from registry.operations.fish import record_departure
from registry.operations.shared.entries import Day, Departure, Measurement, ReleaseMade, TagCode, TagEnd
from registry.operations.tags import record_tag_lost
from registry.operations.young.releases import release
from registry.queries.identity.candidates import candidates
from registry.rules.identity.likeness import Seen
from tests.support.busy_river import grow
from tests.support.river import CODES, STOCK, TANK, small_river

pytestmark = pytest.mark.django_db
TODAY = date(2020, 5, 3)


def seen(**more: object) -> Seen:
    return Seen(**{"on": TODAY, "species": "ruthenus", "unit": TANK, **more})


@pytest.fixture
def river():
    return small_river()


def lose(river, number: str) -> None:
    code = TagCode("iso", CODES[number])
    record_tag_lost(river.by, TagEnd(code=code, ended_on=date(2019, 9, 1), end_reason="lost"))


def test_nobody_is_offered_while_every_fish_bears_its_tag(river) -> None:
    assert candidates(seen()) == []


def test_a_code_on_record_is_offered_first_and_one_a_figure_apart_too(river) -> None:
    slip = TagCode("iso", CODES["F1"][:-1] + "9")
    (found,) = candidates(seen(code=TagCode("iso", CODES["F1"])))
    assert (found.number, found.word) == ("F1", "very likely")
    (near,) = candidates(seen(code=slip))
    assert (near.number, near.word) == ("F1", "likely")


def test_fish_without_tag_and_missing_ones_are_offered_with_size_and_sex(river) -> None:
    found = Measurement(fish="F1", checked_on=date(2019, 4, 1), total_length_mm=Decimal(812))
    record_measurement(river.by, found)
    lose(river, "F1")
    record_departure(river.by, Departure(fish="M2", left="missing", left_on=Day(date(2018, 1, 1))))
    offered = candidates(seen(total_length_mm=Decimal(830)))
    assert [one.number for one in offered] == ["F1", "M2"]
    assert "measured 812 mm on 1 April 2019, now 830 mm" in offered[0].speaks_for
    assert [one.number for one in candidates(seen(sex="M"))] == ["M2"]
    assert [one.number for one in candidates(seen(species="baerii"))] == []


def test_where_a_fish_was_released_speaks_for_it(river) -> None:
    went = {"released_on": date(2019, 9, 2), "place": "Alder Ford", "fish": ("F1",)}
    release(river.by, ReleaseMade(**went))
    (found,) = candidates(seen(sex="F", stock=STOCK, place="alder ford"))
    assert "released at Alder Ford before" in found.speaks_for


def test_the_question_costs_the_same_however_many_fish_there_are(river) -> None:
    lose(river, "F1")
    code = TagCode("iso", CODES["F2"])
    with CaptureQueriesContext(
        connection,
    ) as few:
        candidates(seen(code=code))
    grow(0, 40)
    with CaptureQueriesContext(connection) as many:
        candidates(seen(code=code))
    assert len(few) == len(many)
