"""Who lived when: fish that bred one by one, all others by parentage and years."""

from collections.abc import Callable, Hashable
from datetime import date
from types import SimpleNamespace

from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.models import FishDetails
from registry.operations.fish import admit_fish
from registry.operations.shared.entries import Admission, Day, Pair
from registry.queries.status.census import LIVES, YEAR_UNKNOWN, census_of, origins_of
from tests.registry.queries.status.conftest import keys, stock
from tests.support.river import STOCK


def sibs() -> tuple[str, int]:
    parentage = FishDetails.objects.current().get(fish__number="Y1").parentage_id
    assert parentage
    return "sibs", parentage


def lines(name: Hashable) -> list[tuple[int, int, int, int]]:
    """Return number, first year, year of leaving and hatch year of each line of a name, in order."""
    census = census_of(stock())
    held = census.lines
    mine = held.name == census.names.index(name)
    columns = (held.number, held.since, held.until, held.hatched)
    return sorted(zip(*(column[mine].tolist() for column in columns), strict=True))


def test_founders_stand_for_themselves_and_sibs_together(river: SimpleNamespace, tag: Callable[..., None]) -> None:
    tag("Y1", "Y2", "Y3")
    census = census_of(stock())
    fish = keys()
    assert census.living == {fish["F1"]: 1, fish["F2"]: 1, fish["M1"]: 1, fish["M2"]: 1, sibs(): 3}
    assert lines(sibs()) == [(3, 2010, LIVES, 2010)]
    assert lines(fish["F1"]) == [(1, 2000, LIVES, YEAR_UNKNOWN)]


def test_sibs_that_left_are_a_line_for_each_year(
    river: SimpleNamespace, tag: Callable[..., None], leave: Callable[[str, int], None]
) -> None:
    tag("Y1", "Y2", "Y3", "Y4")
    for number, year in (("Y2", 2013), ("Y3", 2013), ("Y4", 2015)):
        leave(number, year)
    assert lines(sibs()) == [(1, 2010, LIVES, 2010), (1, 2010, 2015, 2010), (2, 2010, 2013, 2010)]


def test_a_fish_that_bred_is_taken_out_of_its_sibs(river: SimpleNamespace, tag: Callable[..., None]) -> None:
    tag("Y1", "Y2", "Y3")
    of_pair = Admission(
        number="Z1", species="ruthenus", stock=STOCK, hatched=Day(date(2020, 5, 1)), pairs=(Pair("Y3", "M2"),)
    )
    admit_fish(river.by, of_pair)
    living = census_of(stock()).living
    assert living[keys()["Y3"]] == 1
    assert living[sibs()] == 2


def test_a_fish_that_left_on_an_unknown_day_is_not_among_the_living(river: SimpleNamespace) -> None:
    for number, more in (("P1", {}), ("P2", {"left": "missing"})):
        pairs = (Pair("F1", "M1"),)
        admit_fish(river.by, Admission(number=number, species="ruthenus", stock=STOCK, pairs=pairs, **more))
    sibs = [name for name in census_of(stock()).names if isinstance(name, tuple)]
    told = [line for name in sibs for line in lines(name)]
    assert sorted(until for _, _, until, _ in told) == [YEAR_UNKNOWN, LIVES]
    assert {(number, since, hatched) for number, since, _, hatched in told} == {(1, YEAR_UNKNOWN, YEAR_UNKNOWN)}


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
