"""Joined and parted again, every row of both numbers stands as it stood: of every kind that names a fish, today's and
tomorrow's, whatever the two had in common. Rows are written as a kind may hold them; the rules have tests of their own.
"""

from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from django.db import transaction
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from registry.journal.states import record_models
from registry.journal.write import entry
from registry.models import (
    Capture,
    CharacterSeen,
    Check,
    Cross,
    CrossNotMade,
    CrossPlan,
    CrossSire,
    Determination,
    Document,
    DocumentSubject,
    Fish,
    FishDetails,
    FounderPair,
    FounderSet,
    HealthLook,
    HoldingUnit,
    Induction,
    MarkSearch,
    MiltLot,
    MiltUse,
    OffPlanSeen,
    Parentage,
    ParentPair,
    Photo,
    PlanFish,
    PlannedCross,
    PlanPair,
    PlanRemark,
    PloidyFound,
    Quarantine,
    Recapture,
    Record,
    SampleSent,
    SetAside,
    SpeciesFit,
    Stay,
    Stock,
    Tag,
    TissueSample,
    Treatment,
)
from registry.operations.identity.joining import join_numbers
from registry.operations.identity.parting import part_numbers
from registry.permissions import CORRECT, Actor
from registry.rules.identity.joining import Joining, Parting
from tests.house.test_rows_written_again import hanging_on_fish
from tests.support.river import POND

DAY, MOMENT = date(2012, 5, 3), datetime(2012, 5, 3, 21, tzinfo=UTC)
World = SimpleNamespace


def _capture(world: World, fish: Fish, n: int) -> list[Record]:
    capture = Capture(fish=fish, caught_at=MOMENT, zone="UTC", place=f"Reach {n}")
    return [capture, MarkSearch(capture=capture, way="pit", looked=True)]


def _check(world: World, fish: Fish, n: int) -> list[Record]:
    tag = Tag(fish=fish, system="external", code=f"E-{fish}-{n}", attached_on=DAY)
    return [tag, Check(fish=fish, checked_on=DAY, mass_g=900 + n, tag=tag)]


def _planned(world: World, fish: Fish, n: int) -> list[Record]:
    planned = PlannedCross(plan=world.plans[n], dam=world.dam, sire=fish, kinship=Decimal(0), comment=f"of {fish}")
    made = Cross(spawning=world.spawning, family=world.family, dam=world.dam, planned=planned)
    sire = CrossSire(cross=made, sire=fish, share=Decimal(1))
    not_made = CrossNotMade(planned=planned, reason=f"{fish} spent")
    return [planned, not_made, made, sire, OffPlanSeen(cross=made, words="seen")]


def _milt(world: World, fish: Fish, n: int) -> list[Record]:
    lot = MiltLot(number=f"K-{fish}-{n}", male=fish, collected_on=DAY, state="frozen", doses=9)
    paper = DocumentSubject(document=world.papers[n], milt_lot=lot)
    share = CrossSire(cross=world.crosses[n], sire=fish, share=Decimal("0.5"), milt_lot=lot)
    return [lot, MiltUse(lot=lot, used_on=DAY, doses=1, purpose="test"), paper, share]


def _met(world: World, fish: Fish, n: int) -> list[Record]:
    met = Recapture(number=f"R-{fish}-{n}", recaptured_on=DAY, place="Stony Reach", fish=fish, link="certain")
    return [met, DocumentSubject(document=world.papers[n], recapture=met)]


def _determined(world: World, fish: Fish, n: int) -> list[Record]:
    seen = Determination(fish=fish, determined_on=DAY, evidence=str(n))
    looked = CharacterSeen(determination=seen, character="dorsal-scutes", value=12)
    return [seen, looked, SpeciesFit(determination=seen, species=world.species, log_score=Decimal("-1"))]


def _wish(world: World, fish: Fish, n: int) -> list[Record]:
    stands = PlanFish(plan=world.plans[n], fish=fish, stand="limited", most=1 + len(str(fish)) + n, reason=f"of {fish}")
    pair = PlanPair(plan=world.plans[n], dam=world.dam, sire=fish, stand="locked", reason=f"of {fish}")
    return [stands, pair, PlanRemark(plan=world.plans[n], dam=world.dam, sire=fish, words="which?")]


def _aside(world: World, fish: Fish, n: int) -> list[Record]:
    holder = (world.dam, *(one for one in world.two if one != fish))[n]
    return [SetAside(fish=fish, holder=holder, system="iso", code=f"75600000000009{n}", read_on=DAY, reason="two fish")]


def _young(world: World, fish: Fish, n: int) -> list[Record]:
    half = Decimal("0.5")
    return [ParentPair(parentage=world.parentages[n], dam=world.dam if n else None, sire=fish, probability=half)]


def _kin(world: World, fish: Fish, n: int) -> list[Record]:
    said = {"founders": world.founders, "kinship": Decimal("0.5")}
    if n:
        return [FounderPair(one=world.dam, other=fish, **said)]
    between = [FounderPair(one=world.two[0], other=fish, **said)] if fish == world.two[1] else []
    return [FounderPair(one=fish, other=fish, **said), *between]


def _held(world: World, fish: Fish, n: int) -> list[Record]:
    until = {"until": date(2012, 6, 1), "released_by": "VET 7"} if n else {}
    return [Quarantine(fish=fish, unit=world.unit, since=DAY, **until)]


def _care(world: World, fish: Fish, n: int) -> list[Record]:
    given = {"agent": "a", "dose": "as written", "prescriber": "VET 7"}
    files = {"original": f"{n:064}", "picture": f"{n:064}", "original_name": "a.png", "width": 9, "height": 9}
    return [
        HealthLook(fish=fish, looked_on=DAY, score=3 + n),
        Photo(fish=fish, view="left", taken_on=DAY, **files),
        tube := TissueSample(fish=fish, label=f"T-{fish}-{n}", kind="fin clip", taken_on=DAY),
        SampleSent(fish=fish, sample=tube, sent_on=DAY, sent_to="laboratory"),
        PloidyFound(fish=fish, measured_on=DAY, sets=2 + n, method="karyotype", by="laboratory"),
        Treatment(fish=fish, given_on=DAY, product="the product", amount="as written", prescriber="VET 7"),
        Induction(spawning=world.spawning, fish=fish, given_at=MOMENT, **given),
        DocumentSubject(document=world.papers[n], fish=fish),
        Stay(unit=world.unit, fish=fish, since=date(1990 + n, 1, 1), until=date(1990 + n, 3, 1 + len(str(fish)))),
    ]  # fmt: skip


KINDS: tuple[Callable[[World, Fish, int], list[Record]], ...] = (
    _capture, _check, _planned, _milt, _met, _determined, _wish, _aside, _young, _kin, _held, _care,
)  # fmt: skip
SAYING = st.lists(
    st.tuples(st.sampled_from(KINDS), st.sampled_from(("M1", "M2")), st.integers(0, 1)), unique=True, max_size=14
)
WHOSE = st.sampled_from(("kept", "other"))


def written(by: Actor, rows: list[Record]) -> None:
    with entry(by, "test", permission=CORRECT, subject="test") as made:
        for row in rows:
            made.add(row)


def world_of(river: SimpleNamespace) -> World:
    stock, spawning = Stock.objects.get(), river.spawning
    world = World(
        two=tuple(Fish.objects.filter(number__in=("M1", "M2"))), dam=Fish.objects.get(number="F2"), spawning=spawning,
        family=spawning.crosses.get().family, unit=HoldingUnit.objects.get(name=POND), species=stock.species,
        plans=[CrossPlan(number=f"P{n}", stock=stock, season=2013) for n in (0, 1)],
        papers=[
            Document(number=f"D{n}", title="paper", name="a.txt", kind="text", size_bytes=1, sha256=f"{n:064}")
            for n in (0, 1)
        ],
        parentages=[Parentage(basis="pooled"), Parentage(basis="pooled")],
        founders=FounderSet(stock=stock, source="markers"),
    )  # fmt: skip
    world.crosses = [Cross(spawning=spawning, family=world.family, dam=world.dam, portion=str(n)) for n in (0, 1)]
    written(river.by, [*world.plans, *world.papers, *world.parentages, world.founders, *world.crosses])
    return world


def standing() -> dict[str, list[str]]:
    """Return every row that stands of the kinds that are written again, told by what they say and not by their keys."""
    told: dict[tuple[type, int], tuple[Any, ...]] = {}
    for kind in (kind for kind in record_models().values() if kind in hanging_on_fish() | {FishDetails}):
        columns = [column for column in kind._meta.concrete_fields if column.name not in ("id", "entry", "withdrawn")]
        for pk, *values in kind.objects.current().values_list("pk", *(column.attname for column in columns)):
            said = zip(columns, values, strict=True)
            told[kind, pk] = tuple(told.get((column.related_model, value), value) for column, value in said)
    return {one.__name__: sorted(repr(said) for (kind, _), said in told.items() if kind is one) for one, _ in told}


def is_undone(river: SimpleNamespace, manager: Actor, said: list[Any], choices: dict[str, str]) -> None:
    numbers = {"M1": 0, "M2": 1}
    with transaction.atomic():
        world = world_of(river)
        for kind, number, n in said:
            written(river.by, kind(world, world.two[numbers[number]], n))
        before = standing()
        joining = Joining(
            kept=choices["first"], other="M2" if choices["first"] == "M1" else "M1", proved_on=date(2021, 3, 1),
            evidence="genotype", reason="no mismatch", choices=choices,
        )  # fmt: skip
        join_numbers(manager, joining)
        assert standing() != before
        part_numbers(manager, Parting(other=joining.other, reason="two fish"))
        assert standing() == before
        transaction.set_rollback(True)


def test_whatever_the_two_numbers_had_comes_back(river: SimpleNamespace, manager: Actor) -> None:
    @settings(max_examples=10, phases=[Phase.generate])
    @given(SAYING, WHOSE, WHOSE, st.sampled_from(("M1", "M2")))
    def holds(said: list[Any], stays: str, quarantine: str, first: str) -> None:
        is_undone(river, manager, said, {"stays": stays, "quarantine": quarantine, "first": first})

    everything = [(kind, number, n) for kind in KINDS for number in ("M1", "M2") for n in (0, 1)]
    for first, whose in (("M1", "kept"), ("M2", "other")):
        is_undone(river, manager, everything, {"stays": whose, "quarantine": whose, "first": first})
    holds()


def test_no_kind_is_left_out(river: SimpleNamespace) -> None:
    with transaction.atomic():
        world = world_of(river)
        tried = {type(row) for kind in KINDS for row in kind(world, world.two[0], 0)}
        transaction.set_rollback(True)
    assert hanging_on_fish() - tried == set(), "write rows of this kind above, so that joining and parting are tried"
