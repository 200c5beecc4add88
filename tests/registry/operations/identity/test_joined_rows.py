"""What becomes of rows when two numbers are joined: shares add up, a pair with itself falls out, ends are set."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.journal.verify import verify
from registry.models import CrossSire, FishDetails, ParentPair, PlannedCross, Quarantine, SetAside, Stay, Tag
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.pairs import add_pair
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import admit_fish, move_fish, record_departure
from registry.operations.identity.joining import join_numbers
from registry.operations.identity.parting import part_numbers
from registry.operations.identity.set_aside import set_code_aside
from registry.operations.intake.quarantine import release_from_quarantine, set_quarantine_unit, start_quarantine
from registry.operations.people import installer
from registry.operations.shared.entries import (
    CodeAside,
    CrossMade,
    Day,
    Departure,
    PairAdded,
    PairWanted,
    PlanDraft,
    SireShare,
    SpawningNight,
    TagCode,
)
from registry.permissions import Actor
from registry.rules.identity.joining import Joining, Parting
from registry.rules.intake.moves import FishMove
from registry.rules.intake.quarantine import QuarantineRelease, QuarantineStart, QuarantineUnitSet
from tests.support.broodstock import lift
from tests.support.proof import refused
from tests.support.river import CODES, POND, STOCK, TANK, founder
from tests.support.standing import standing

CHOICES = {"caught": "kept", "stays": "kept", "sex": "kept"}


def joining(**changes: object) -> Joining:
    return Joining(
        **{"kept": "M1", "other": "M2", "proved_on": date(2021, 3, 1), "evidence": "photograph",
           "reason": "the same scutes", "choices": CHOICES, **changes}
    )  # fmt: skip


def undone_is_as_before(manager: Actor, entry: Joining) -> None:
    before = standing()
    join_numbers(manager, entry)
    assert standing() != before
    part_numbers(manager, Parting(other=entry.other, reason="two fish"))
    assert standing() == before
    assert verify().sound


@pytest.fixture
def pooled(river: SimpleNamespace) -> SimpleNamespace:
    """Return the river with a family of F2 × M1 (0.7) or M2 (0.3)."""
    shares = (SireShare(sire="M1", share=Decimal("0.7")), SireShare(sire="M2", share=Decimal("0.3")))
    night = CrossMade(dam="F2", sires=shares, family="12-1")
    record_spawning(river.by, SpawningNight(spawned_on=date(2012, 5, 2), stock=STOCK, crosses=(night,)))
    return river


def test_two_possible_sires_that_are_one_fish_are_one_with_both_shares(pooled: SimpleNamespace, manager: Actor) -> None:
    join_numbers(manager, joining())
    pair = ParentPair.objects.current().get(dam__number="F2")
    share = CrossSire.objects.current().get(cross__family__number="12-1")
    assert (pair.sire.number, pair.probability) == ("M1", 1)
    assert (share.sire.number, share.share) == ("M1", 1)
    assert verify().sound


def test_their_shares_part_again(pooled: SimpleNamespace, manager: Actor) -> None:
    undone_is_as_before(manager, joining())


def test_parents_of_one_family_are_two_fish(river: SimpleNamespace, manager: Actor) -> None:
    with refused("F1 and M1 are both parents of family 10-1. One fish cannot be: correct that first."):
        join_numbers(manager, joining(kept="F1", other="M1"))


def test_an_ancestor_is_another_fish(river: SimpleNamespace, manager: Actor) -> None:
    admit_fish(manager, replace(founder("F9"), origin="hatchery", caught=None, hatched=Day(date(2010, 5, 9)),
                                family="10-1"))  # fmt: skip
    with refused("F1 is an ancestor of F9."):
        join_numbers(manager, joining(kept="F1", other="F9"))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"other": "X77"}, "There is no fish X77 in the register."),
        ({"kept": "X77"}, "There is no fish X77 in the register."),
        ({"other": "M1"}, "Fish M1 is named twice."),
        ({"evidence": "hearsay"}, "“hearsay” is not one of second tag"),
        ({"choices": {}}, "Choose whose place it really was in."),
    ],
)
def test_what_cannot_be_joined_is_refused(river: SimpleNamespace, manager: Actor, changes, sentence) -> None:
    if not changes.get("choices", True):
        moved(river)
    with refused(sentence):
        join_numbers(manager, joining(**changes))


def moved(river: SimpleNamespace) -> None:
    move_fish(river.by, FishMove(fish="M2", unit=POND, moved_on=date(2012, 4, 3)))


def test_a_number_that_was_joined_is_not_joined_again(river: SimpleNamespace, manager: Actor) -> None:
    join_numbers(manager, joining())
    with refused("M2 was proved to be fish M1 already."):
        join_numbers(manager, joining(kept="F1"))


def test_a_code_set_aside_between_the_two_is_settled_and_comes_back(river: SimpleNamespace, manager: Actor) -> None:
    aside = CodeAside(fish="M2", code=TagCode("iso", CODES["M1"]), read_on=date(2012, 1, 1), reason="a second fish")
    set_code_aside(manager, aside)
    join_numbers(manager, joining())
    assert not SetAside.objects.current().exists()
    part_numbers(manager, Parting(other="M2", reason="two fish"))
    assert SetAside.objects.current().get().fish.number == "M2"


@pytest.fixture
def held(river: SimpleNamespace) -> SimpleNamespace:
    """Return the river with M1 and M2 in quarantine, each since a day of its own."""
    set_quarantine_unit(installer("test"), QuarantineUnitSet(unit=TANK, day=date(2009, 1, 1)))
    for fish, day in (("M1", date(2020, 5, 3)), ("M2", date(2020, 5, 6))):
        start_quarantine(river.by, QuarantineStart(fish=fish, unit=TANK, since=day))
    return river


def test_two_open_quarantines_are_chosen_from_and_both_come_back(held: SimpleNamespace, manager: Actor) -> None:
    with refused(
        "Both are in quarantine: M1 since 3 May 2020, begun in Tank 1, and M2 since 6 May 2020, begun in Tank 1."
    ):
        join_numbers(manager, joining())
    entry = joining(choices=CHOICES | {"quarantine": "other"})
    undone_is_as_before(manager, entry)
    join_numbers(manager, entry)
    assert [(row.fish.number, row.since.day) for row in Quarantine.objects.current()] == [("M1", 6)]


def test_ended_since_for_one_fish_the_other_is_still_in_quarantine(held: SimpleNamespace, manager: Actor) -> None:
    # Nobody can tell which of the two the veterinarian saw: the one that gave way goes on.
    join_numbers(manager, joining(choices=CHOICES | {"quarantine": "kept"}))
    release_from_quarantine(
        manager, QuarantineRelease(fish="M1", until=date(2021, 4, 1), released_by="VET 7", findings="sound")
    )
    part_numbers(manager, Parting(other="M2", reason="two fish"))
    held = Quarantine.objects.current().order_by("fish__number")
    assert [(row.fish.number, row.until) for row in held] == [("M1", date(2021, 4, 1)), ("M2", None)]


def test_a_fish_put_into_quarantine_again_since_is_in_one(held: SimpleNamespace, manager: Actor) -> None:
    join_numbers(manager, joining(choices=CHOICES | {"quarantine": "other"}))
    ended = QuarantineRelease(fish="M1", until=date(2021, 4, 1), released_by="VET 7", findings="sound")
    release_from_quarantine(manager, ended)
    start_quarantine(manager, QuarantineStart(fish="M1", unit=TANK, since=date(2021, 6, 1)))
    part_numbers(manager, Parting(other="M2", reason="two fish"))
    held = Quarantine.objects.current().order_by("fish__number")
    assert [(row.fish.number, row.since.year, row.until is None) for row in held] == [
        ("M1", 2021, True), ("M2", 2020, False),
    ]  # fmt: skip
    assert verify().sound


def test_a_fish_that_died_under_its_second_number_is_dead_and_nothing_of_it_is_open(
    river: SimpleNamespace, manager: Actor
) -> None:
    record_departure(manager, Departure(fish="M2", left="died", left_on=Day(date(2015, 2, 1))))
    entry = joining(choices=CHOICES | {"stays": "other"})
    join_numbers(manager, entry)
    details = FishDetails.objects.current().get(fish__number="M1")
    assert (details.left, details.left_on) == ("died", date(2015, 2, 1))
    mine = {"fish__number": "M1"}
    assert not Stay.objects.current().filter(**mine, until=None).exists()
    assert not Tag.objects.current().filter(**mine, ended_on=None).exists()


def test_that_death_is_undone_too(river: SimpleNamespace, manager: Actor) -> None:
    record_departure(manager, Departure(fish="M2", left="died", left_on=Day(date(2015, 2, 1))))
    undone_is_as_before(manager, joining(choices=CHOICES | {"stays": "other"}))


def test_a_planned_cross_of_the_two_falls_out_and_comes_back(
    river: SimpleNamespace, manager: Actor, geneticist
) -> None:
    admit_fish(manager, replace(founder("F9"), sex="F", unit=TANK))
    draft_plan(geneticist, PlanDraft(number="P1", stock=STOCK, season=2022))
    lift("P1")
    add_pair(geneticist, PairAdded(plan="P1", pair=PairWanted(dam="F9", sire="M2", kinship=Decimal(0))))
    entry = joining(kept="F9", other="M2")
    with refused("Plan P1 pairs the two; that cross falls out of it."):
        join_numbers(manager, entry, confirmed=False)
    join_numbers(manager, entry)
    assert not PlannedCross.objects.current().exists()
    part_numbers(manager, Parting(other="M2", reason="two fish"))
    assert PlannedCross.objects.current().get().sire.number == "M2"
