"""Who lived when: fish that bred one by one, all others by parentage and years."""

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.models import FishDetails
from registry.operations.fish import admit_fish
from registry.operations.shared.entries import Admission, Day, Pair
from registry.queries.status.census import LIVES, YEAR_UNKNOWN, Line, census_of, origins_of
from tests.registry.queries.status.conftest import keys, stock
from tests.support.river import STOCK


def sibs() -> tuple[str, int]:
    parentage = FishDetails.objects.current().get(fish__number="Y1").parentage_id
    assert parentage
    return "sibs", parentage


def test_founders_stand_for_themselves_and_sibs_together(river: SimpleNamespace, tag: Callable[..., None]) -> None:
    tag("Y1", "Y2", "Y3")
    census = census_of(stock())
    fish = keys()
    assert census.living == {fish["F1"]: 1, fish["F2"]: 1, fish["M1"]: 1, fish["M2"]: 1, sibs(): 3}
    assert Line(sibs(), 3, 2010, LIVES, 2010) in census.lines
    assert Line(fish["F1"], 1, 2000, LIVES, None) in census.lines


def test_sibs_that_left_are_a_line_for_each_year(
    river: SimpleNamespace, tag: Callable[..., None], leave: Callable[[str, int], None]
) -> None:
    tag("Y1", "Y2", "Y3", "Y4")
    for number, year in (("Y2", 2013), ("Y3", 2013), ("Y4", 2015)):
        leave(number, year)
    lines = [line for line in census_of(stock()).lines if line.name == sibs()]
    assert sorted((line.until, line.number) for line in lines) == [(LIVES, 1), (2013, 2), (2015, 1)]


def test_a_fish_that_bred_is_taken_out_of_its_sibs(river: SimpleNamespace, tag: Callable[..., None]) -> None:
    tag("Y1", "Y2", "Y3")
    of_pair = Admission(
        number="Z1", species="ruthenus", stock=STOCK, hatched=Day(date(2020, 5, 1)), pairs=(Pair("Y3", "M2"),)
    )
    admit_fish(river.by, of_pair)
    living = census_of(stock()).living
    assert living[keys()["Y3"]] == 1
    assert living[sibs()] == 2


@pytest.mark.parametrize(
    ("since", "until", "years"),
    [
        (2010, LIVES, [2010, 2011, 2012, 2013]),
        (2011, 2013, [2011, 2012]),
        (2011, 2011, []),
        (None, LIVES, []),
        (2010, YEAR_UNKNOWN, []),
    ],
)
def test_a_fish_is_here_at_the_end_of_each_year_from_its_first_to_the_one_before_it_left(
    since: int | None, until: int, years: list[int]
) -> None:
    line = Line(1, 1, since, until, None)
    assert [year for year in range(2009, 2014) if line.lived_at_end_of(year)] == years


def test_a_fish_that_left_on_an_unknown_day_is_not_among_the_living(river: SimpleNamespace) -> None:
    for number, more in (("P1", {}), ("P2", {"left": "missing"})):
        pairs = (Pair("F1", "M1"),)
        admit_fish(river.by, Admission(number=number, species="ruthenus", stock=STOCK, pairs=pairs, **more))
    sibs = [line for line in census_of(stock()).lines if isinstance(line.name, tuple)]
    assert sorted((line.until, line.number, line.since) for line in sibs) == [(YEAR_UNKNOWN, 1, None), (LIVES, 1, None)]


def test_the_census_asks_as_much_of_many_fish_as_of_few(river: SimpleNamespace, tag: Callable[..., None]) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            census_of(stock())
        return len(seen)

    tag("Y1")
    few = asked()
    tag(*(f"Y{n}" for n in range(10, 40)))
    assert asked() == few


def test_origins_are_those_on_record(river: SimpleNamespace) -> None:
    assert set(origins_of(keys().values()).values()) == {"wild"}
