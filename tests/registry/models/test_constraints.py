"""What must always be true is held by the database itself: each constraint is tried by rows that break only it."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.db.models import Model

from registry import models as kept
from tests.registry.models.care_cases import CARE_CASES
from tests.registry.models.paper_cases import OF_PAPERS
from tests.registry.models.plan_cases import PLAN_CASES
from tests.support.world import DAY, Hand, constraints, refused_by, species

EARLIER = DAY.replace(year=2020)
NIGHT = datetime(2021, 5, 3, 23, tzinfo=UTC)
Case = Callable[[SimpleNamespace], tuple[list[Model], list[Model]]]


def share(w: SimpleNamespace, sire: kept.Fish, part: str, **more: object) -> kept.CrossSire:
    return kept.CrossSire(cross=w.cross, sire=sire, share=Decimal(part), **more)


def cross(w: SimpleNamespace, **more: object) -> kept.Cross:
    return kept.Cross(spawning=w.spawning, family=w.family, dam=w.dam, **more)


def pair(w: SimpleNamespace, part: str, **parents: kept.Fish) -> kept.ParentPair:
    return kept.ParentPair(parentage=w.parentage, probability=Decimal(part), **parents)


def planned(w: SimpleNamespace, **more: object) -> kept.PlannedCross:
    return kept.PlannedCross(plan=w.plan, dam=w.dam, kinship=0, **more)


def figure(day: object) -> kept.PolicyFigure:
    return kept.PolicyFigure(key="largest-kinship", value=1, meaning="m", source="invented", in_force_from=day)


def inherits(w: SimpleNamespace, ploidy: int, reduction: str = "0") -> kept.StockInheritance:
    return kept.StockInheritance(stock=w.stock, ploidy=ploidy, double_reduction=Decimal(reduction), reason="invented")


def kin(w: SimpleNamespace) -> kept.FounderSet:
    return kept.FounderSet(stock=w.stock, source="invented")


def akin(w: SimpleNamespace, other: kept.Fish, kinship: str) -> kept.FounderPair:
    return kept.FounderPair(founders=w.founders, one=w.dam, other=other, kinship=Decimal(kinship))


def grant(w: SimpleNamespace, role: str, **more: object) -> kept.RoleGrant:
    return kept.RoleGrant(user=w.user, role=role, since=DAY, **more)


def place(w: SimpleNamespace, latitude: object, longitude: object) -> kept.ReleaseDetails:
    return kept.ReleaseDetails(release=w.release, place="mouth", latitude=latitude, longitude=longitude)


def moved(w: SimpleNamespace, to: kept.Account, count: int, event: str = "loss") -> kept.Transfer:
    return kept.Transfer(event=event, moved_on=DAY, from_account=w.account, to_account=to, count=count)


def tag(w: SimpleNamespace, fish: kept.Fish, code: str, **more: object) -> kept.Tag:
    return kept.Tag(fish=fish, code=code, **{"system": "iso", "attached_on": DAY} | more)


def stay(w: SimpleNamespace, **more: object) -> kept.Stay:
    return kept.Stay(since=DAY, **{"unit": w.unit} | more)


def seen(w: SimpleNamespace, **more: object) -> kept.Check:
    return kept.Check(fish=w.dam, checked_on=DAY, **more)


def details(w: SimpleNamespace, fish: kept.Fish, **more: object) -> kept.FishDetails:
    return kept.FishDetails(fish=fish, **more)


def stage(key: str, scale: str = "ultrasound") -> kept.MaturityStage:
    return kept.MaturityStage(scale=scale, key=key, order=1, meaning="m", ripe=False, source="invented")


def sheet_row(digest: str, kind: str = "fish") -> kept.ImportedRow:
    return kept.ImportedRow(kind=kind, digest=digest, file_name="fish.csv", row=2)


def sampled(fish: kept.Fish, label: str) -> kept.TissueSample:
    return kept.TissueSample(fish=fish, label=label, kind="fin clip", taken_on=DAY)


def caught(w: SimpleNamespace, latitude: object, longitude: object) -> kept.Capture:
    return kept.Capture(fish=w.dam, caught_at=NIGHT, zone="UTC", place="bar", latitude=latitude, longitude=longitude)


def looked(w: SimpleNamespace, way: str, **more: object) -> kept.MarkSearch:
    return kept.MarkSearch(capture=w.capture, way=way, **{"looked": True} | more)


def health(w: SimpleNamespace, score: int | None) -> kept.HealthLook:
    return kept.HealthLook(fish=w.dam, looked_on=DAY, score=score)


def pictured(fish: kept.Fish, sha256: str) -> kept.Photo:
    return kept.Photo(fish=fish, view="left", taken_on=DAY, original=sha256, picture="b", width=1, height=1)


def read(w: SimpleNamespace, at: datetime) -> kept.Temperature:
    return kept.Temperature(water_system=w.water, read_at=at, water_c=12)


def size(w: SimpleNamespace, *ends: int | None) -> kept.SpeciesFigure:
    names = ("low", "usual_low", "usual_high", "high")
    return kept.SpeciesFigure(
        species=w.species, figure="dorsal_scutes", source="s", **dict(zip(names, ends, strict=False))
    )


def look(w: SimpleNamespace, which: str, share: object = 1) -> kept.SpeciesLook:
    return kept.SpeciesLook(species=w.species, character="mouth", look=which, share=share, source="s")


def accepted(w: SimpleNamespace, authority: str) -> kept.AcceptedName:
    return kept.AcceptedName(species=w.species, authority=authority, name="A. x", source="s")


def standing(w: SimpleNamespace, river: str) -> kept.RiverStanding:
    return kept.RiverStanding(species=w.species, river=river, standing="native", source="s")


def character(w: SimpleNamespace, **more: object) -> kept.CharacterSeen:
    return kept.CharacterSeen(**{"determination": w.determination, "character": "lateral_scutes"} | more)


def fit(w: SimpleNamespace, score: object) -> kept.SpeciesFit:
    return kept.SpeciesFit(determination=w.determination, species=w.species, log_score=score)


def aside(w: SimpleNamespace, code: str, **more: object) -> kept.SetAside:
    columns = {"fish": w.sire, "holder": w.dam, "system": "iso", "read_on": DAY, "reason": "r"} | more
    return kept.SetAside(code=code, **columns)


def same(w: SimpleNamespace, other: kept.Fish, **more: object) -> kept.SameFish:
    return kept.SameFish(**{"kept": w.dam, "proved_on": DAY, "evidence": "genotype"} | more, other=other)


def lot(w: SimpleNamespace, number: str) -> kept.MiltLot:
    return kept.MiltLot(number=number, male=w.sire, collected_on=DAY, state="fresh", doses=1)


def met(number: str) -> kept.Recapture:
    return kept.Recapture(number=number, recaptured_on=DAY, place="weir", link="none")


def again(earlier: int, kind: str = "tag") -> kept.Rewritten:
    return kept.Rewritten(kind=kind, earlier=earlier)


# For each constraint: rows that the database takes, then rows each of which it refuses.
CASES: dict[str, Case] = {
    **PLAN_CASES,
    "one_current_species_figure": lambda w: ([size(w, 1)], [size(w, 2)]),
    "species_figure_in_order": lambda w: (
        [],
        [size(w, 2, 1), size(w, None, 2, 1), size(w, 1, 1, 3, 2), size(w, 2, None, None, 1)],
    ),
    "one_current_look_of_a_species": lambda w: ([look(w, "small"), look(w, "crescent")], [look(w, "small", "0.5")]),
    "look_share_over_0_up_to_1": lambda w: ([], [look(w, "small", 0), look(w, "small", "1.001")]),
    "one_accepted_name_of_an_authority": lambda w: ([accepted(w, "A"), accepted(w, "B")], [accepted(w, "A")]),
    "one_standing_in_a_river": lambda w: ([standing(w, "Isendre"), standing(w, "Quern")], [standing(w, "Isendre")]),
    "name_of_one_species": lambda w: (
        [kept.SpeciesName(species=w.species, name="sterlet", kind="vernacular")],
        [kept.SpeciesName(species=w.species, name="sterlet", kind="synonym")],
    ),
    "character_once_on_a_side": lambda w: (
        [character(w, value=60, side="left"), character(w, value=61, side="right")],
        [character(w, value=62, side="left")],
    ),
    "character_is_a_number_or_a_look": lambda w: (
        [character(w, character="mouth", look="small")],
        [character(w), character(w, value=60, look="small")],
    ),
    "species_once_in_determination": lambda w: ([fit(w, -1)], [fit(w, -2)]),
    "log_score_at_most_nought": lambda w: ([], [fit(w, "0.0001")]),
    "no_batch_below_zero": lambda w: (
        [kept.Account(kind="received", balance=-5)],
        [kept.Account(kind="batch", batch=w.second, balance=-1)],
    ),
    "account_once": lambda _: ([kept.Account(kind="sample")], [kept.Account(kind="sample"), kept.Account(kind="loss")]),
    "stage_once_in_scale": lambda _: ([stage("F4"), stage("F5"), stage("F4", "biopsy")], [stage("F4")]),
    "sire_share_over_0_up_to_1": lambda w: (
        [share(w, w.sire, "1")],
        [share(w, w.other, "0"), share(w, w.other, "-0.5"), share(w, w.other, "1.000000000001")],
    ),
    "motility_0_to_100": lambda w: (
        [share(w, w.sire, "0.5", motility_percent=0)],
        [share(w, w.other, "0.5", motility_percent=-1), share(w, w.other, "0.5", motility_percent=Decimal("100.01"))],
    ),
    "sire_once_in_cross": lambda w: ([share(w, w.sire, "0.5"), share(w, w.other, "0.5")], [share(w, w.sire, "0.1")]),
    "one_current_parentage_of_a_family": lambda w: (
        [kept.FamilyParents(family=w.family, parentage=w.parentage)],
        [kept.FamilyParents(family=w.family, parentage=w.parentage)],
    ),
    "parent_probability_over_0_up_to_1": lambda w: (
        [pair(w, "1", dam=w.dam)],
        [pair(w, "0", sire=w.sire), pair(w, "-0.1", sire=w.sire), pair(w, "1.000000000001", sire=w.sire)],
    ),
    "parent_pair_once": lambda w: (
        [pair(w, "0.5", dam=w.dam, sire=w.sire), pair(w, "0.3", dam=w.dam), pair(w, "0.1")],
        [pair(w, "0.1", dam=w.dam, sire=w.sire), pair(w, "0.1", dam=w.dam), pair(w, "0.1")],
    ),
    "pair_once_in_plan": lambda w: ([planned(w, sire=w.sire), planned(w, sire=w.other)], [planned(w, sire=w.sire)]),
    "one_policy_figure_a_day": lambda _: ([figure(DAY), figure(EARLIER)], [figure(DAY)]),
    "one_current_set_of_release_details": lambda w: ([place(w, 1, 1)], [place(w, 2, 2)]),
    "release_position_on_earth": lambda w: (
        [],
        [place(w, 91, 0), place(w, -91, 0), place(w, 0, 181), place(w, 0, -181), place(w, 91, None)],
    ),
    "role_held_once": lambda w: (
        [grant(w, "staff"), grant(w, "staff", facility=w.facility), grant(w, "manager"), grant(w, "viewer", until=DAY)],
        [grant(w, "staff"), grant(w, "staff", facility=w.facility)],
    ),
    "doses_used_above_zero": lambda w: (
        [kept.MiltUse(lot=w.lot, used_on=DAY, doses=1, purpose="test")],
        [kept.MiltUse(lot=w.lot, used_on=DAY, doses=0, purpose="test")],
    ),
    "fertilisation_0_to_100": lambda w: (
        [cross(w, fertilisation_percent=100)],
        [cross(w, fertilisation_percent=Decimal("100.01")), cross(w, fertilisation_percent=-1)],
    ),
    "egg_mass_not_below_zero": lambda w: ([cross(w, egg_mass_g=0)], [cross(w, egg_mass_g=Decimal("-0.1"))]),
    "one_inheritance_a_stock": lambda w: ([inherits(w, 4)], [inherits(w, 2)]),
    "one_founder_set_a_stock": lambda w: ([kin(w)], [kin(w)]),
    "founder_pair_once_in_set": lambda w: ([akin(w, w.dam, "0.5"), akin(w, w.sire, "0.1")], [akin(w, w.sire, "0.2")]),
    "founder_kinship_from_0_to_1": lambda w: (
        [akin(w, w.dam, "1"), akin(w, w.sire, "0")],
        [akin(w, w.other, "-0.1"), akin(w, w.other, "1.1")],
    ),
    "stock_ploidy_even": lambda w: ([inherits(w, 8)], [inherits(w, 3), inherits(w, 0), inherits(w, 10)]),
    "double_reduction_of_polyploids_only": lambda w: (
        [inherits(w, 4, "0.1667")],
        [inherits(w, 2, "0.1"), inherits(w, 4, "-0.1"), inherits(w, 4, "1.0001")],
    ),
    "species_ploidy_even": lambda _: ([species("a", ploidy=2)], [species("b", ploidy=3), species("c", ploidy=0)]),
    "stay_of_a_fish_or_a_batch": lambda w: ([], [stay(w), stay(w, fish=w.dam, batch=w.batch)]),
    "stay_ends_after_start": lambda w: ([stay(w, fish=w.dam, until=DAY)], [stay(w, fish=w.dam, until=EARLIER)]),
    "fish_in_one_unit": lambda w: (
        [stay(w, fish=w.dam), stay(w, fish=w.sire), stay(w, fish=w.dam, until=DAY)],
        [stay(w, fish=w.dam, unit=w.pond)],
    ),
    "batch_in_one_unit": lambda w: (
        [stay(w, batch=w.batch), stay(w, batch=w.second), stay(w, batch=w.batch, until=DAY)],
        [stay(w, batch=w.batch, unit=w.pond)],
    ),
    "one_current_set_of_details": lambda w: ([details(w, w.dam), details(w, w.sire)], [details(w, w.dam, sex="F")]),
    "leaving_day_needs_a_kind": lambda w: ([details(w, w.dam, left="missing")], [details(w, w.sire, left_on=DAY)]),
    "tag_active_on_one_fish": lambda w: (
        # From the calendar's last day on, where SQLite's trigger on periods, which would speak first, sees none.
        [tag(w, w.dam, "1", attached_on=date.max), tag(w, w.sire, "1", system="external"), tag(w, w.sire, "2")],
        [tag(w, w.other, "1", attached_on=date.max)],
    ),
    "tag_ends_after_it_began": lambda w: (
        [tag(w, w.dam, "1", ended_on=DAY)],
        [tag(w, w.dam, "2", ended_on=EARLIER)],
    ),
    "tag_probability_where_asserted": lambda w: (
        [tag(w, w.dam, "1", known_by="asserted", probability=1), tag(w, w.dam, "2", known_by="genotype")],
        [
            tag(w, w.dam, "3", known_by="genotype", probability=1),
            tag(w, w.dam, "3", known_by="asserted", probability=0),
            tag(w, w.dam, "3", known_by="asserted", probability=Decimal("1.001")),
        ],
    ),
    "code_set_aside_once": lambda w: (
        [aside(w, "1"), aside(w, "2"), aside(w, "1", fish=w.other), aside(w, "1", system="hex10")],
        [aside(w, "1", reason="again")],
    ),
    "code_set_aside_between_two_fish": lambda w: ([], [aside(w, "1", fish=w.dam)]),
    "set_aside_resolved_after_it_began": lambda w: (
        [aside(w, "1", resolved_on=DAY)],
        [aside(w, "2", resolved_on=EARLIER)],
    ),
    "number_proved_one_fish_only": lambda w: (
        [same(w, w.sire), same(w, w.other)],
        [same(w, w.sire, kept=w.other)],
    ),
    "two_numbers_to_be_one_fish": lambda w: ([], [same(w, w.dam)]),
    "same_fish_probability_over_0_up_to_1": lambda w: (
        [same(w, w.sire, probability=1)],
        [same(w, w.other, probability=0), same(w, w.other, probability=Decimal("1.001"))],
    ),
    "row_written_again_once": lambda _: ([again(1), again(2), again(1, "stay")], [again(1)]),
    "held_apart_from_another": lambda w: (
        [kept.HeldApart(fish=w.sire, candidate=w.dam, evidence="e")],
        [kept.HeldApart(fish=w.dam, candidate=w.dam, evidence="e")],
    ),
    "milt_lot_number_once": lambda w: ([lot(w, "L2")], [lot(w, "L2")]),
    "recapture_number_once": lambda _: ([met("C1"), met("C2")], [met("C1")]),
    "length_above_zero": lambda w: (
        [seen(w, total_length_mm=Decimal("0.1"))],
        [seen(w, total_length_mm=0), seen(w, total_length_mm=-1)],
    ),
    "mass_above_zero": lambda w: ([seen(w, mass_g=Decimal("0.1"))], [seen(w, mass_g=0), seen(w, mass_g=-1)]),
    "transfer_between_two_accounts": lambda w: ([moved(w, w.losses, 1)], [moved(w, w.account, 1)]),
    "transfer_moves_fish": lambda w: ([moved(w, w.losses, 0, "census")], [moved(w, w.losses, 0)]),
    "water_system_once_in_facility": lambda w: (
        [kept.WaterSystem(facility=w.facility, name="well")],
        [kept.WaterSystem(facility=w.facility, name="well")],
    ),
    "one_temperature_a_moment": lambda w: (
        [read(w, NIGHT), read(w, NIGHT.replace(hour=22))],
        [read(w, NIGHT)],
    ),
    "unit_in_quarantine_use_once": lambda w: (
        [kept.QuarantineUse(unit=w.unit, since=DAY), kept.QuarantineUse(unit=w.unit, since=EARLIER, until=DAY)],
        [kept.QuarantineUse(unit=w.unit, since=DAY)],
    ),
    "quarantine_use_ends_after_start": lambda w: (
        [kept.QuarantineUse(unit=w.unit, since=DAY, until=DAY)],
        [kept.QuarantineUse(unit=w.unit, since=DAY, until=EARLIER)],
    ),
    "sample_label_once": lambda w: ([sampled(w.dam, "T-1"), sampled(w.dam, "T-2")], [sampled(w.sire, "T-1")]),
    "capture_position_on_earth": lambda w: (
        [caught(w, 90, -180), caught(w, None, None)],
        [caught(w, 91, 0), caught(w, 0, 181), caught(w, 0, -181), caught(w, 5, None)],
    ),
    "mark_looked_for_once": lambda w: ([looked(w, "pit"), looked(w, "wire")], [looked(w, "pit")]),
    "mark_found_only_where_looked": lambda w: (
        [looked(w, "pit", found="a code"), looked(w, "clip", looked=False)],
        [looked(w, "wire", looked=False, found="a wire")],
    ),
    "health_score_1_to_5": lambda w: ([health(w, 1), health(w, 5), health(w, None)], [health(w, 0), health(w, 6)]),
    "photo_of_a_fish_once": lambda w: ([pictured(w.dam, "a"), pictured(w.sire, "a")], [pictured(w.dam, "a")]),
    "imported_row_once": lambda _: ([sheet_row("a"), sheet_row("b"), sheet_row("a", "tags")], [sheet_row("a")]),
}
CASES |= OF_PAPERS | CARE_CASES
# Constraints that look only at rows which no correction took back.
CURRENT_ONLY = [name for name, known in constraints().items() if "withdrawn" in str(getattr(known, "condition", ""))]


@pytest.mark.parametrize("name", CASES)
def test_the_database_refuses_what_breaks_a_constraint(name: str, world: SimpleNamespace, hand: Hand) -> None:
    world.planned = hand.put(kept.PlannedCross(plan=world.plan, dam=world.other, sire=world.sire, kinship=0))
    taken, refused = CASES[name](world)
    for row in taken:
        hand.put(row)
    for row in refused:
        with refused_by(name):
            hand.put(row)


@pytest.mark.parametrize("name", CURRENT_ONLY)
def test_a_row_that_was_taken_back_stands_in_nobodys_way(name: str, world: SimpleNamespace, hand: Hand) -> None:
    world.planned = hand.put(kept.PlannedCross(plan=world.plan, dam=world.other, sire=world.sire, kinship=0))
    taken, refused = CASES[name](world)
    for row in taken:
        hand.withdraw(hand.put(row))
    standing = type(refused[0]).objects.current()
    before = standing.count()
    for row in refused:
        hand.put(row)
    assert standing.count() == before + len(refused)


def test_every_constraint_of_the_register_is_tried() -> None:
    assert set(CASES) == set(constraints())
    assert CURRENT_ONLY


def test_a_batch_cannot_be_drawn_below_zero_in_place(world: SimpleNamespace, hand: Hand) -> None:
    hand.change(world.account, balance=0)
    with refused_by("no_batch_below_zero"):
        hand.change(world.account, balance=-1)
