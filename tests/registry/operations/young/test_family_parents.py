"""The parents of a family corrected: its fish follow, what does not follow is named."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import FamilyParents, FishDetails
from registry.operations.crossing.spawning import record_spawning
from registry.operations.parentage import FamilyParentsFound, determine_family
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import (
    Admission,
    BatchOpening,
    CrossMade,
    FamilyShare,
    Pair,
    Registration,
    SireShare,
    SpawningNight,
)
from registry.operations.young.batches import open_batch
from registry.permissions import Actor
from tests.support.mixed_batch import mixed_batch
from tests.support.proof import last, refused, told
from tests.support.river import STOCK


@pytest.fixture(autouse=True)
def river(db: None) -> SimpleNamespace:
    return mixed_batch()


def parents(row: FishDetails) -> dict[tuple[str, str], Decimal]:
    return {(p.dam.number, p.sire.number): p.probability for p in row.parentage.pairs.all()}


def of_family(*pairs: Pair, **changes: object) -> FamilyParentsFound:
    whole = {"family": "10-1", "pairs": pairs, "basis": "recorded", "reason": "The tag was read wrongly."}
    return FamilyParentsFound(**{**whole, **changes})


def test_the_fish_of_a_family_follow_its_corrected_parents(river: SimpleNamespace, manager: Actor) -> None:
    night = CrossMade(dam="F2", sires=(SireShare(sire="M1"),), family="10-3")
    record_spawning(river.by, SpawningNight(spawned_on=date(2010, 5, 2), stock=STOCK, crosses=(night,)))
    opening = BatchOpening(number="B9", opened_on=date(2010, 5, 11), count=9, families=(FamilyShare(family="10-3"),))
    open_batch(river.by, opening)
    fish = (Admission(number="X9", sex="F"),)
    register_individuals(river.by, Registration(batch="B9", moved_on=date(2011, 1, 10), fish=fish))
    with refused("The cross that made family 10-3 stays on record as it was entered on the night"):
        determine_family(manager, of_family(Pair("F2", "M2"), family="10-3"), confirmed=False)
    determine_family(manager, of_family(Pair("F2", "M2"), family="10-3"))
    now = FamilyParents.objects.current().get(family__number="10-3")
    fish = FishDetails.objects.current().get(fish__number="X9")
    assert (parents(fish), fish.parentage_id, fish.family_id) == ({("F2", "M2"): 1}, now.parentage_id, now.family_id)
    assert FamilyParents.objects.get(withdrawn=last()).family.number == "10-3"
    assert told()[:3] == ("manager", "parents of a family determined", "family 10-3")
    determine_family(manager, of_family(family="10-3"))
    assert FishDetails.objects.current().get(fish__number="X9").parentage is None


def test_a_family_gets_no_parents_that_cannot_be(river: SimpleNamespace, manager: Actor) -> None:
    with refused("F2 is recorded as female and cannot be a sire."):
        determine_family(manager, of_family(Pair("F1", "F2")))
    with refused("Nothing is different from what stands."):
        determine_family(manager, of_family(Pair("F1", "M1")))
    with refused("Say why: the reason stands in the journal beside the change."):
        determine_family(manager, of_family(Pair("F1", "M2"), reason=" "))
    with refused("There is no family 99-9 in the register."):
        determine_family(manager, of_family(family="99-9"))


def test_fish_out_of_mixed_batches_are_named_since_they_do_not_follow(manager: Actor) -> None:
    with refused("Fish out of mixed batches keep their possible parents: X1, X2."):
        determine_family(manager, of_family(Pair("F1", "M2")), confirmed=False)
