"""What is asked again at the tank."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from registry.rules.crossing.limits import LimitSet, limits_in_force
from registry.rules.crossing.spawning import CrossMade, SireShare, SpawningNight, objections_to_night
from registry.rules.days import Day
from registry.rules.known import Known, KnownPlan, KnownTag
from registry.rules.tags.codes import TagCode

NIGHT = date(2026, 2, 27)
SIGNED = date(2026, 2, 1)


def planned(known: Known) -> Known:
    known.plans["Upper", 2026] = [KnownPlan("P26", SIGNED, {("F1", "M1"): Decimal(0)})]
    return known


def told(known: Known, *sires: str, reason: str = "", stock: str = "Upper") -> list[tuple[str, str, bool]]:
    shares = tuple(SireShare(sire=sire, share=Decimal(1) / len(sires)) for sire in sires)
    cross = CrossMade(dam="f1", sires=shares, family="26-1", off_plan_reason=reason)
    found = objections_to_night(SpawningNight(spawned_on=NIGHT, crosses=(cross,), stock=stock), known)
    return [(one.code, one.message, one.warning) for one in found if one.code in ("off_plan", "tag_changed")]


def test_a_cross_outside_the_signed_plan_needs_a_reason(known: Known) -> None:
    sentence = (
        "F1 × S1: not in the signed plan P26 of 2026. Say in a few words why it is made all the same; the geneticist "
        "will read it."
    )
    assert told(planned(known), "S1") == [("off_plan", sentence, False)]
    assert told(planned(known), "S1", reason="the planned male gave no milt") == []
    assert told(planned(known), "S1", stock="")[0][0] == "off_plan"  # the female says which stock it is


def test_a_cross_of_the_plan_or_without_any_plan_needs_none(known: Known) -> None:
    assert told(known, "S1") == []
    assert told(planned(known), "M1") == []
    known.plans["Upper", 2025] = known.plans.pop(("Upper", 2026))
    assert told(known, "S1") == []


def test_pooled_milt_is_in_the_plan_only_with_every_male(known: Known) -> None:
    assert [code for code, *_ in told(planned(known), "M1", "S1")] == ["off_plan"]
    known.plans["Upper", 2026].append(KnownPlan("P27", SIGNED, {("F1", "S1"): Decimal(0)}))
    assert told(known, "M1", "S1") == []


def test_a_tag_that_changed_since_the_plan_was_signed_is_pointed_out(known: Known) -> None:
    planned(known)
    [tag] = known.tags_of_fish["f1"]
    known.tags_of_fish["f1"] = [
        replace(tag, ended_on=date(2026, 2, 10)),
        KnownTag(TagCode("iso", "985121004599999"), "F1", date(2026, 2, 10)),
    ]
    sure = "Make sure that this is the fish that was planned."
    assert [message for _, message, warning in told(known, "M1") if warning] == [
        f"F1: tag 985121004515220 ended on 10 February 2026, after plan P26 was signed on 1 February 2026. {sure}",
        f"F1: tag 985121004599999 was put in on 10 February 2026, after plan P26 was signed on 1 February 2026. {sure}",
    ]
    assert told(known, "S1", reason="no milt") == []  # off the plan, nothing was planned of her


def test_a_planned_fish_that_died_or_proved_of_the_other_sex_is_refused(known: Known) -> None:
    known.fish["m1"].sex = "F"
    known.fish["f1"].left, known.fish["f1"].left_on = "died", Day(date(2026, 2, 20))
    cross = CrossMade(dam="F1", sires=(SireShare(sire="M1"),), family="26-1")
    found = objections_to_night(SpawningNight(spawned_on=NIGHT, crosses=(cross,)), planned(known))
    assert {"dead_parent", "wrong_sex"} <= {one.code for one in found if not one.warning}


def test_the_limits_of_the_signed_plan_are_asked_again_and_warn(known: Known) -> None:
    fish = {number: replace(known.fish[number.casefold()], tissue=number != "M1") for number in ("F1", "M1")}
    fish["F1"].sets = 3
    for one in fish.values():
        known.add_fish(one)
    known.crossed = {("F1", "S1"): {2025, 2026}}
    night = SpawningNight(
        spawned_on=NIGHT, crosses=(CrossMade(dam="F1", sires=(SireShare(sire="M1"),), family="26-1"),), stock="Upper"
    )

    def warned() -> list[str]:
        return [one.message for one in objections_to_night(night, known) if one.warning]

    odd = "F1 was found to have 3 chromosome sets: odd ploidy never crosses."
    assert warned() == [odd]
    limits = limits_in_force({"dam_rest_years": Decimal(2)})
    known.plans["Upper", 2026] = [KnownPlan("P26", SIGNED, {("F1", "M1"): Decimal(0)}, limits)]
    assert warned() == [
        odd,
        "M1: no tissue sample is kept. Take one.",
        "F1 was spawned in 2025; the limit “rest of a female” is 2 years.",
    ]
    relaxed = [LimitSet(plan="P26", key=key, reason="r") for key in ("even_ploidy", "tissue", "dam_rest_years")]
    known.plans["Upper", 2026] = [replace(known.plans["Upper", 2026][0], limits=limits_in_force({}, relaxed))]
    assert warned() == []
