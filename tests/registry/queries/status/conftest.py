"""A small river with young of two families, some gone; and what the tests ask of it."""

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import FishDetails, Stock
from registry.operations.fish import record_departure
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import Admission, Day, Departure, Registration
from registry.queries.status.figures import Status, status_of
from tests.support.river import STOCK, small_river


@pytest.fixture
def river(db: None) -> SimpleNamespace:
    """Return the small river; nobody has been registered out of its batch yet."""
    return small_river()


@pytest.fixture
def tag(river: SimpleNamespace) -> Callable[..., None]:
    """Return a function that registers young of F1 × M1, hatched in 2010, out of the batch."""

    def register(*numbers: str, sex: str = "F") -> None:
        fish = tuple(Admission(number=number, sex=sex) for number in numbers)
        register_individuals(river.by, Registration(batch="B1", moved_on=date(2011, 5, 1), fish=fish))

    return register


@pytest.fixture
def leave(river: SimpleNamespace) -> Callable[[str, int], None]:
    """Return a function that notes a death in a year."""

    def die(number: str, year: int) -> None:
        record_departure(river.by, Departure(fish=number, left="died", left_on=Day(date(year, 3, 1))))

    return die


def stock() -> Stock:
    return Stock.objects.select_related("species").get(name=STOCK)


def found(**more: bool) -> Status:
    status = status_of(stock(), **more)
    assert status is not None
    return status


def keys() -> dict[str, int]:
    return dict(FishDetails.objects.current().values_list("fish__number", "fish_id"))
