"""A river with many of everything on it, written at a few desks: to see what a page costs as the register grows."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from registry.files.store import lay_aside
from registry.journal.upkeep import refresh_stale_statistics
from registry.models import Role
from registry.operations.checks import MEASUREMENT
from registry.operations.crossing.milt import COLLECTION, MiltCollected
from registry.operations.crossing.plans.drafts import DRAFT
from registry.operations.crossing.spawning import SPAWNING
from registry.operations.fish import ADMISSION
from registry.operations.papers.documents import attach_document
from registry.operations.papers.permits import PERMIT
from registry.operations.registration import REGISTRATION
from registry.operations.shared.desk import Deed, open_desk, refuse_if_any
from registry.operations.shared.entries import (
    Admission,
    BatchOpening,
    BatchPart,
    CrossMade,
    FamilyShare,
    Measurement,
    PairWanted,
    PlanDraft,
    RecaptureMade,
    Registration,
    ReleaseMade,
    SireShare,
    SpawningNight,
    TagCode,
    Taking,
)
from registry.operations.young.batches import OPENING, TAKING
from registry.operations.young.releases import RECAPTURE, RELEASING
from registry.permissions import Actor
from registry.queries.known import Named
from registry.rules.papers.acts import Allowance
from registry.rules.papers.documents import DocumentAttached
from registry.rules.papers.paper import PermitGiven
from tests.support.broodstock import put_in
from tests.support.river import STOCK, TANK, founder

NIGHT = date(2012, 5, 2)
BY = Actor(None, "hall", frozenset({Role.STAFF, Role.MANAGER, Role.GENETICIST}), "test")


def grow(start: int, end: int) -> None:
    """Add number `start` to `end` of everything to a small river; each holds as many of what belongs to it."""
    n = range(start, end)
    enter(ADMISSION, (replace(founder("F1"), number=f"F-{k}", tag=code(k), sex="F") for k in n))
    enter(ADMISSION, (replace(founder("M1"), number=f"M-{k}", tag=code(1000 + k), sex="M") for k in n))
    enter(MEASUREMENT, (check("F1", k) for k in n))
    enter(MEASUREMENT, (check(f"F-{k}", 0) for k in n))
    enter(SPAWNING, (SpawningNight(spawned_on=NIGHT + timedelta(days=k), stock=STOCK, crosses=(cross(k),)) for k in n))
    enter(OPENING, (opening(k) for k in n))
    enter(TAKING, (Taking(batch="B1", moved_on=date(2010, 6, 1) + timedelta(days=k), count=1) for k in n))
    enter(COLLECTION, (milt(k) for k in n))
    enter(RECAPTURE, (RecaptureMade(recaptured_on=date(2015, 5, 1), place="Stony Reach", fish=f"F-{k}") for k in n))
    enter(DRAFT, (PlanDraft(number=f"P-{k}", stock=STOCK, season=2013) for k in n))
    for k in n:
        put_in(f"P-{k}", pair(k))
    refresh_stale_statistics()  # as after a long sheet


def crowd(number: str, size: int) -> None:
    """Write one record of each kind that holds so many others: young, release, night, plan."""
    young = tuple(Admission(number=f"{number}-{k}", tag=code(2000 + size * 10 + k)) for k in range(size))
    enter(REGISTRATION, [Registration(batch="B1", moved_on=date(2011, 5, 1), fish=young)])
    fish, batches = tuple(one.number for one in young), (BatchPart(batch="B1", count=5),)
    made = ReleaseMade(number=number, released_on=date(2011, 9, 1), place="Stony Reach", fish=fish, batches=batches)
    enter(RELEASING, [made])
    lines = (Allowance("release", "", STOCK, 9_000), Allowance("transfer", "ruthenus"))
    enter(PERMIT, [PermitGiven(number=number, issuer="authority", valid_from=date(2011, 1, 1), allowances=lines)])
    for k in range(size):
        laid = lay_aside([f"{number} {k}".encode()], "a.txt")
        paper = DocumentAttached(kind="permit", number=number, title="letter", sha256=laid.sha256, name="a.txt")
        attach_document(BY, paper)
    part = (BatchPart(batch="B1", count=1),)
    small = replace(made, fish=(), batches=part, permit=number)
    enter(RELEASING, (replace(small, number=f"{number}-{k}") for k in range(size)))
    night = tuple(replace(cross(k), family=f"{number}-{k}") for k in range(size))
    enter(SPAWNING, [SpawningNight(number=number, spawned_on=date(2014, 5, 1), stock=STOCK, crosses=night)])
    enter(DRAFT, [PlanDraft(number=number, stock=STOCK, season=2014)])
    put_in(number, *map(pair, range(size)))


def enter(deed: Deed[Any, Any], entries: Iterable[Any]) -> None:
    """Judge and write all entries at one desk."""
    listed = list(entries)
    with open_desk(BY, deed.permission, named_by(map(deed.named, listed))) as desk:
        for entry in listed:
            refuse_if_any(deed.judge(entry, desk.known))
            deed.write(desk, entry)


def named_by(parts: Iterator[Named]) -> Named:
    """Return all that the entries name."""
    every = Named()
    for part in parts:
        every.permits |= part.permits
        every.fish |= part.fish
        every.families |= part.families
        every.batches |= part.batches
        every.codes |= part.codes
    return every


def code(k: int) -> TagCode:
    """Return a code that differs from every other by more than one figure."""
    return TagCode("iso", f"756{k * 1_000_003:012}")


def check(fish: str, k: int) -> Measurement:
    """Return the k-th time in hand."""
    return Measurement(fish=fish, checked_on=date(2008, 1, 1) + timedelta(days=k), mass_g=Decimal(900 + k))


def cross(k: int) -> CrossMade:
    """Return the cross of the k-th pair, its family of that number."""
    return CrossMade(dam=f"F-{k}", sires=(SireShare(sire=f"M-{k}"),), family=f"C-{k}")


def opening(k: int) -> BatchOpening:
    """Return the batch of the k-th family."""
    day, share = NIGHT + timedelta(days=k + 9), (FamilyShare(family=f"C-{k}"),)
    return BatchOpening(number=f"C-{k}", opened_on=day, count=100, families=share, unit=TANK)


def milt(k: int) -> MiltCollected:
    """Return the k-th lot."""
    return MiltCollected(number=f"K-{k}", male="M1", collected_on=date(2009, 5, 1), state="frozen", doses=5)


def pair(k: int) -> PairWanted:
    """Return the k-th pair of a plan."""
    return PairWanted(dam=f"F-{k}", sire=f"M-{k}", kinship=Decimal(0))
