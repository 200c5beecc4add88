"""A mixed batch on the small river, drawn above the tests that need it."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

from registry.operations.crossing.spawning import record_spawning
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import (
    Admission,
    BatchOpening,
    BatchPart,
    CrossMade,
    FamilyShare,
    Merge,
    RecaptureMade,
    Registration,
    ReleaseMade,
    SireShare,
    SpawningNight,
    Split,
    TagCode,
)
from registry.operations.young.batches import merge_batches, open_batch, split_batch
from registry.operations.young.releases import record_recapture, release
from tests.support.river import STOCK, small_river

TAGGED, SPLIT, FREED = date(2011, 1, 10), date(2011, 2, 1), date(2011, 6, 1)
CODES = {"X1": "756000000000101", "X2": "756000000000102"}


def mixed_batch() -> SimpleNamespace:
    """Enter two families of one batch, a split, two tagged fish, a release and a recapture.

    F1 ── M1            F2 ── M1 (0.5) or M2 (0.5)
      10-1                10-2
       │ 1,000             │ 500
       B1 ◄──── all ────── B2            B1 is 2/3 of 10-1 and 1/3 of 10-2
       ├─ X1 ♀, X2 ♂ tagged 10 January 2011
       └─ B3 (300) ─ 200 ─► R1 at the weir ─► C1, with R1's mark
    """
    river = small_river()
    by = river.by
    half = Decimal("0.5")
    pooled = CrossMade(
        dam="F2", sires=(SireShare(sire="M1", share=half), SireShare(sire="M2", share=half)), family="10-2"
    )
    record_spawning(by, SpawningNight(spawned_on=date(2010, 5, 2), stock=STOCK, crosses=(pooled,)))
    opening = {"opened_on": date(2010, 5, 11), "families": (FamilyShare(family="10-2"),)}
    open_batch(by, BatchOpening(number="B2", count=500, **opening))
    merge_batches(by, Merge(batch="B2", into="B1", moved_on=date(2010, 8, 1), count=500))
    fish = tuple(
        Admission(number=number, sex=sex, tag=TagCode("iso", CODES[number]))
        for number, sex in (("X1", "F"), ("X2", "M"))
    )
    register_individuals(by, Registration(batch="B1", moved_on=TAGGED, fish=fish))
    split_batch(by, Split(batch="B1", new_number="B3", moved_on=SPLIT, count=300))
    freed = {"released_on": FREED, "place": "the weir", "permit": "P-7", "mark": "elastomer red left"}
    river.release = release(by, ReleaseMade(number="R1", batches=(BatchPart(batch="B3", count=200),), **freed))
    met = {"recaptured_on": date(2012, 7, 1), "place": "the bridge", "marks": "elastomer red left"}
    river.recapture = record_recapture(by, RecaptureMade(number="C1", release="R1", **met))
    return river


def second_generation(river: SimpleNamespace) -> None:
    """Cross X1 × X2: family 18-1, its batch B4, of which 40 are released as R2."""
    night = CrossMade(dam="X1", sires=(SireShare(sire="X2"),), family="18-1")
    record_spawning(river.by, SpawningNight(spawned_on=date(2018, 5, 1), stock=STOCK, crosses=(night,)))
    opening = {"opened_on": date(2018, 5, 10), "families": (FamilyShare(family="18-1"),)}
    open_batch(river.by, BatchOpening(number="B4", count=100, **opening))
    part = (BatchPart(batch="B4", count=40),)
    release(river.by, ReleaseMade(number="R2", released_on=date(2018, 9, 1), place="the ford", batches=part))
