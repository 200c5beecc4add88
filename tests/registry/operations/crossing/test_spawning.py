"""Spawning nights: crosses, families, milt and hormones."""

from datetime import date, datetime
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.utils import timezone

from registry.models import Cross, CrossSire, Family, FamilyParents, FishDetails, Induction, Spawning
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.review import sign_plan, submit_plan
from registry.operations.crossing.spawning import HormoneGiven, record_induction, record_spawning
from registry.operations.fish import admit_fish, record_departure
from registry.operations.shared.entries import (
    Admission,
    CrossMade,
    Day,
    Departure,
    Pair,
    PairWanted,
    PlanDraft,
    PlanSigned,
    PlanSubmitted,
    SireShare,
    SpawningNight,
)
from registry.permissions import Actor
from tests.support.broodstock import put_in
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import STOCK

NIGHT = date(2011, 5, 2)
HALF = Decimal("0.5")


def at(*clock: int) -> datetime:
    return datetime(*clock, tzinfo=timezone.get_current_timezone())


def cross(**changes: object) -> CrossMade:
    return CrossMade(**{"dam": "F2", "sires": (SireShare(sire="M2"),), "family": "11-1", **changes})


def night(*crosses: CrossMade, **changes: object) -> SpawningNight:
    return SpawningNight(**{"spawned_on": NIGHT, "stock": STOCK, "crosses": crosses or (cross(),), **changes})


def hormone(**changes: object) -> HormoneGiven:
    whole = {"spawning": "S10-05-01-1", "fish": "F1", "given_at": at(2010, 4, 30, 20), "agent": "as prescribed"}
    return HormoneGiven(**{**whole, "dose": "as on the prescription", "prescriber": "veterinarian on call", **changes})


def pairs(family: str) -> dict[tuple[str, str], Decimal]:
    rows = FamilyParents.objects.current().get(family__number=family).parentage.pairs.all()
    return {(row.dam.number, row.sire.number): row.probability for row in rows}


def test_a_cross_founds_a_family_of_its_two_parents(river: SimpleNamespace, staff: Actor) -> None:
    made = cross(
        made_at=at(2011, 5, 3, 1, 30), portion="A", egg_mass_g=Decimal(312), eggs_per_g=Decimal("61.5"),
        fertilisation_percent=Decimal(83), notes="clear milt",
    )  # fmt: skip
    spawning = record_spawning(staff, night(made, water_c=Decimal("13.2"), notes="quiet"))
    assert (spawning.number, spawning.stock.name, spawning.water_c) == ("S11-05-02-1", STOCK, Decimal("13.2"))
    row = Cross.objects.get(spawning=spawning)
    assert (row.dam.number, row.family.number, row.portion, row.notes) == ("F2", "11-1", "A", "clear milt")
    assert (row.made_at, row.egg_mass_g, row.eggs_per_g) == (at(2011, 5, 3, 1, 30), Decimal(312), Decimal("61.5"))
    assert pairs("11-1") == {("F2", "M2"): 1}
    assert FamilyParents.objects.get(family__number="11-1").parentage.basis == "recorded"
    assert told() == ("staff", "spawning recorded", "spawning S11-05-02-1", NIGHT, "test")
    assert row.entry_id == last().seq


def test_pooled_milt_leaves_each_male_its_share_of_the_young(river: SimpleNamespace, staff: Actor) -> None:
    pooled = night(cross(sires=(SireShare(sire="M1", share=HALF), SireShare(sire="M2", share=HALF))))
    with refused("Milt was pooled: each of the young has M1 or M2 as its sire."):
        record_spawning(staff, pooled, confirmed=False)
    record_spawning(staff, pooled)
    assert pairs("11-1") == {("F2", "M1"): HALF, ("F2", "M2"): HALF}
    assert FamilyParents.objects.get(family__number="11-1").parentage.basis == "pooled"
    assert CrossSire.objects.filter(cross__family__number="11-1").count() == 2


def test_one_unknown_male_is_one_draw_for_the_whole_family(river: SimpleNamespace, staff: Actor) -> None:
    males = (SireShare(sire="M1", share=HALF), SireShare(sire="M2", share=HALF))
    record_spawning(staff, night(cross(sires=males, one_male_only=True)))
    assert FamilyParents.objects.get(family__number="11-1").parentage.draw == "shared"
    record_spawning(staff, night(cross(sires=males, family="11-2")))
    assert FamilyParents.objects.get(family__number="11-2").parentage.draw == "each"


def test_nights_of_one_day_are_numbered_on(river: SimpleNamespace, staff: Actor) -> None:
    record_spawning(staff, night())
    second = record_spawning(staff, night(cross(family="11-2")))
    assert second.number == "S11-05-02-2"


def test_without_a_stock_named_the_night_is_of_the_dams_stock(river: SimpleNamespace, staff: Actor) -> None:
    assert record_spawning(staff, night(stock="")).stock.name == STOCK
    assert Family.objects.get(number="11-1").stock.name == STOCK


def test_who_may_enter_a_spawning(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: record_spawning(by, night()))
    only_those_who_may(ENTERING, lambda by: record_induction(by, hormone()))


def test_a_cross_that_was_planned_and_signed_names_its_plan(
    river: SimpleNamespace, staff: Actor, geneticist: Actor
) -> None:
    draft_plan(geneticist, PlanDraft(number="P11", stock=STOCK, season=2011))
    put_in("P11", PairWanted(dam="F2", sire="M2"))
    record_spawning(staff, night(cross(off_plan_reason="not signed yet")))
    submit_plan(geneticist, PlanSubmitted(plan="P11"))
    sign_plan(geneticist, PlanSigned(plan="P11"))
    record_spawning(staff, night(cross(family="11-2")))
    assert Cross.objects.get(family__number="11-1").planned is None
    assert Cross.objects.get(family__number="11-2").planned.plan.number == "P11"


def test_a_family_known_by_its_young_gets_its_cross_later(river: SimpleNamespace, staff: Actor) -> None:
    young = Admission(
        number="Y1", species="ruthenus", stock=STOCK, origin="hatchery", family="11-1", hatched=Day(date(2011, 5, 9)),
        pairs=(Pair("F2", "M2"),),
    )  # fmt: skip
    admit_fish(staff, young)
    record_spawning(staff, night())
    details = FishDetails.objects.current().get(fish__number="Y1")
    assert Family.objects.filter(number="11-1").count() == 1
    assert Cross.objects.get(family=details.family).spawning.number == "S11-05-02-1"
    assert FamilyParents.objects.get(family=details.family).parentage_id == details.parentage_id
    with refused("Family 11-1 is already in the register with its cross. Take another number."):
        record_spawning(staff, night(cross(sires=(SireShare(sire="M2"),))))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"dam": "F9"}, "There is no fish F9 in the register."),
        ({"dam": ""}, "There is no fish (empty) in the register."),
        ({"dam": "M2"}, "M2 is recorded as male and cannot be a dam. Look at the fish again."),
        ({"sires": (SireShare(sire="F1"),)}, "F1 is recorded as female and cannot be a sire."),
        ({"sires": ()}, "No male was entered. Enter at least one."),
        ({"sires": (SireShare(sire="M1", share=HALF),)}, "The shares of the males do not sum to 1. Correct them."),
        ({"family": ""}, "The family number is missing. Every cross founds a family."),
        ({"family": "10-1"}, "Family 10-1 is already in the register with other parents."),
        ({"egg_mass_g": Decimal(-1)}, "-1 g is below zero. Weigh or count again."),
        ({"fertilisation_percent": Decimal(101)}, "101 is not between 0 and 100 per cent."),
        ({"sires": (SireShare(sire="M2", motility_percent=Decimal(-1)),)}, "-1 is not between 0 and 100 per cent."),
        ({"made_at": at(2011, 5, 1, 23)}, "1 May 2011, 23:00 is not in the night that began on 2 May 2011."),
        ({"notes": "\x01"}, "holds a control character (U+0001)"),
        ({"sires": (SireShare(sire="M2", milt_lot="K1"),)}, "M2 has no milt lot K1."),
    ],
)
def test_a_cross_that_cannot_have_been_made_is_refused(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        record_spawning(staff, night(cross(**changes)))


def test_a_night_that_cannot_have_been_is_refused(river: SimpleNamespace, staff: Actor) -> None:
    with refused("No cross was entered. Enter at least one female with one male."):
        record_spawning(staff, SpawningNight(spawned_on=NIGHT, crosses=()))
    with refused("1 January 2999 lies in the future.", "There is no stock “Nowhere”. Choose one."):
        record_spawning(staff, night(spawned_on=date(2999, 1, 1), stock="Nowhere"))
    with refused("Family 11-1 is named twice. Each cross has its own family."):
        record_spawning(staff, night(cross(), cross(dam="F1")))
    with refused("F2 came 3 April 2000, after 2 May 1999. Correct the day or the dam."):
        record_spawning(staff, night(spawned_on=date(1999, 5, 2)))


def test_the_dead_are_not_crossed_unless_their_milt_was_frozen(river: SimpleNamespace, staff: Actor) -> None:
    for fish in ("F2", "M2"):
        record_departure(staff, Departure(fish=fish, left="died", left_on=Day(date(2011, 1, 5))))
    with refused("F2 died 5 January 2011, before 2 May 2011. Correct the dam or the day."):
        record_spawning(staff, night())
    with refused("M2 died 5 January 2011, before 2 May 2011. Note the frozen milt, or correct the sire."):
        record_spawning(staff, night(cross(dam="F1")))
    frozen = night(cross(dam="F1", sires=(SireShare(sire="M2", frozen_milt=True),)))
    with refused("M2 died 5 January 2011; its frozen milt is noted."):
        record_spawning(staff, frozen, confirmed=False)
    record_spawning(staff, frozen)
    assert CrossSire.objects.get(sire__number="M2").frozen_milt


def test_a_cross_of_two_species_is_asked_about(river: SimpleNamespace, staff: Actor) -> None:
    admit_fish(staff, Admission(number="X1", species="baerii", confidence="doubtful", sex="M", origin="unknown"))
    mixed = night(cross(sires=(SireShare(sire="X1"),)))
    with refused("F2 × X1: species differ or are in doubt. Do not breed from or release such young."):
        record_spawning(staff, mixed, confirmed=False)
    record_spawning(staff, mixed)
    assert pairs("11-1") == {("F2", "X1"): 1}


def test_a_hormone_is_kept_as_it_was_prescribed(river: SimpleNamespace, staff: Actor) -> None:
    record_induction(staff, hormone(product_batch="lot 7"))
    given = Induction.objects.get()
    assert (given.fish.number, given.spawning, given.given_at) == ("F1", Spawning.objects.get(), at(2010, 4, 30, 20))
    assert (given.agent, given.dose, given.prescriber, given.product_batch) == (
        "as prescribed", "as on the prescription", "veterinarian on call", "lot 7",
    )  # fmt: skip
    assert told() == ("staff", "hormone given", "fish F1", date(2010, 4, 30), "test")


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"fish": "F9"}, "There is no fish F9 in the register."),
        ({"spawning": "S1"}, "There is no spawning S1."),
        ({"agent": ""}, "The product is missing. Write it as it stands on the prescription."),
        ({"dose": ""}, "The dose as prescribed is missing. Write it as it stands on the prescription."),
        ({"prescriber": ""}, "The prescribing veterinarian is missing. Write it as it stands on the prescription."),
        ({"given_at": at(2999, 1, 1, 1)}, "This moment lies in the future. Correct it."),
        ({"dose": "\x02"}, "holds a control character (U+0002)"),
    ],
)
def test_a_hormone_without_prescription_or_fish_is_refused(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        record_induction(staff, hormone(**changes))


def test_a_fish_that_had_left_is_given_no_hormone(river: SimpleNamespace, staff: Actor) -> None:
    record_departure(staff, Departure(fish="F1", left="died", left_on=Day(date(2010, 6, 1))))
    with refused("F1 left on 1 June 2010 (died). Correct the fish or the moment."):
        record_induction(staff, hormone(given_at=at(2010, 6, 2, 4)))
    record_induction(staff, hormone(given_at=at(2010, 6, 1, 4)))
