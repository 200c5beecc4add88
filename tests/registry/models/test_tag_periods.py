"""A code is on one fish at a time, back-dated periods included: the database keeps the periods apart.

2020        2021        2022
  |  on F1    |                     the period in the register: from 1 January 2020, ended 1 January 2021
"""

from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import Fish, Tag
from tests.support.world import Hand, refused_by

BEGAN, ENDED = date(2020, 1, 1), date(2021, 1, 1)


def tag(fish: Fish, begin: date, end: date | None, **more: object) -> Tag:
    return Tag(fish=fish, attached_on=begin, ended_on=end, **{"system": "iso", "code": "900215000123456"} | more)


@pytest.fixture
def worn(world: SimpleNamespace, hand: Hand) -> Tag:
    """Return the closed period above."""
    return hand.put(tag(world.dam, BEGAN, ENDED))


@pytest.mark.parametrize(
    ("begin", "end"),
    [
        (date(2020, 3, 1), date(2020, 4, 1)),
        (date(2019, 1, 1), date(2020, 1, 2)),
        (date(2020, 12, 31), date(2022, 1, 1)),
        (date(2019, 1, 1), date(2022, 1, 1)),
        (BEGAN, ENDED),
        (date(2020, 12, 31), None),
        (date(2019, 1, 1), None),
    ],
)
def test_a_code_cannot_be_on_two_fish_during_the_same_days(
    begin: date, end: date | None, worn: Tag, world: SimpleNamespace, hand: Hand
) -> None:
    with refused_by("tag_periods_apart"):
        hand.put(tag(world.sire, begin, end))


@pytest.mark.parametrize(
    ("begin", "end", "more"),
    [
        (ENDED, None, {}),
        (ENDED, date(2021, 6, 1), {}),
        (date(2019, 1, 1), BEGAN, {}),
        (date(2020, 6, 1), date(2020, 6, 1), {}),
        (date(2020, 6, 1), date(2020, 7, 1), {"code": "900215000123457"}),
        (date(2020, 6, 1), date(2020, 7, 1), {"system": "external"}),
    ],
)
def test_a_code_may_pass_to_another_fish_from_the_day_on_which_it_was_free(
    begin: date, end: date | None, more: dict[str, str], worn: Tag, world: SimpleNamespace, hand: Hand
) -> None:
    hand.put(tag(world.sire, begin, end, **more))
    assert Tag.objects.count() == 2


def test_an_open_tag_keeps_its_code_from_every_later_period(world: SimpleNamespace, hand: Hand) -> None:
    hand.put(tag(world.dam, BEGAN, None))
    with refused_by("tag_periods_apart"):
        hand.put(tag(world.sire, date(2024, 1, 1), date(2024, 2, 1)))
    hand.put(tag(world.sire, date(2019, 1, 1), BEGAN))


def test_a_period_that_was_taken_back_frees_its_code(worn: Tag, world: SimpleNamespace, hand: Hand) -> None:
    hand.withdraw(worn)
    hand.put(tag(world.sire, BEGAN, ENDED))
    with refused_by("tag_periods_apart"):
        hand.change(worn, withdrawn_id=None)


@pytest.mark.parametrize(
    "change", [{"attached_on": date(2020, 12, 31)}, {"code": "900215000123456", "ended_on": None}], ids=["day", "code"]
)
def test_a_period_cannot_be_moved_onto_another(
    change: dict[str, object], worn: Tag, world: SimpleNamespace, hand: Hand
) -> None:
    later = hand.put(tag(world.sire, ENDED, date(2022, 1, 1), code="900215000123456"))
    other = hand.put(tag(world.sire, BEGAN, date(2022, 1, 1), code="900215000123457"))
    with refused_by("tag_periods_apart"):
        hand.change(other if "code" in change else later, **change)


def test_a_period_ended_later_still_leaves_other_periods_alone(worn: Tag, world: SimpleNamespace, hand: Hand) -> None:
    hand.put(tag(world.sire, ENDED, None))
    with refused_by("tag_periods_apart"):
        hand.change(worn, ended_on=date(2021, 1, 2))
