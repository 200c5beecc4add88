"""What is asked again at the tank: is the cross in the signed plan, and is each fish still the one that was planned."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from registry.errors import Objection
from registry.rules.crossing.crosses import NOT_SAMPLED, ODD_PLOIDY, objections_to_candidate
from registry.rules.crossing.limits import ALL_SWITCHES_ON, LimitsInForce
from registry.rules.days import spoken
from registry.rules.known import Known, KnownFish, KnownPlan, KnownTag

LONGEST_WORDS = 400
# What a plan's limits say of a fish that nothing else says at the tank.
TOLD_BY_PLAN = {"unsexed", "wrong_stock", NOT_SAMPLED}


@dataclass(frozen=True, slots=True, kw_only=True)
class OffPlanAcknowledged:
    """The geneticist's or the manager's word on a cross made outside the signed plan, by its family."""

    family: str
    words: str


def plans_of(stock: str, day: date, known: Known) -> list[KnownPlan]:
    """Return the signed plans of a stock for the season of a day."""
    return known.plans.get((stock, day.year), [])


def objections_off_plan(
    pairs: Iterable[tuple[str, str]], reason: str, stock: str, day: date, known: Known
) -> list[Objection]:
    """Return that a cross outside the signed plan needs its reason. `pairs`: dam and sire, register numbers."""
    plans = plans_of(stock, day, known)
    off = [(dam, sire) for dam, sire in pairs if not any((dam, sire) in plan.pairs for plan in plans)]
    if not plans or not off or reason.strip():
        return []
    named = ", ".join(plan.number for plan in plans)
    told = ", ".join(f"{dam} × {sire}" for dam, sire in off)
    text = (
        f"{told}: not in the signed plan {named} of {day.year}. Say in a few words why it is made all the same; "
        "the geneticist will read it."
    )
    return [Objection("off_plan", "off_plan_reason", text, told)]


def objections_by_limits(pair: tuple[KnownFish, KnownFish], stock: str, day: date, known: Known) -> list[Objection]:
    """Return as warnings what the limits of the signed plan have against a pair today, in the plan or beside it.

    What bars a fish whatever the plan, such as a quarantine, is refused elsewhere. Without a plan only odd ploidy is.
    """
    plans = plans_of(stock, day, known)
    limits = plans[0].limits if plans else ALL_SWITCHES_ON
    told = [
        one
        for role, fish in zip(("dam", "sire"), pair, strict=True)
        for one in objections_to_candidate(fish, role, stock, day, limits)
        if one.code == ODD_PLOIDY or (plans and one.code in TOLD_BY_PLAN)
    ]
    if plans:
        told += _rest(pair, day.year, limits, known)
    return [replace(one, warning=True) for one in told]


def _rest(pair: tuple[KnownFish, KnownFish], season: int, limits: LimitsInForce, known: Known) -> list[Objection]:
    """Return that a fish was to rest, or the pair not to be repeated, by what was made before the season."""
    dam, sire = (fish.number for fish in pair)
    years = {
        ("dam_rest_years", f"{dam} was spawned"): [made for key, made in known.crossed.items() if key[0] == dam],
        ("sire_rest_years", f"{sire} was spawned"): [made for key, made in known.crossed.items() if key[1] == sire],
        ("repeat_years", f"{dam} × {sire} was crossed"): [known.crossed.get((dam, sire), set())],
    }
    found = []
    for (key, told), crossed in years.items():
        last = max((year for made in crossed for year in made if year < season), default=None)
        least = limits.figure(key)
        if last is not None and least is not None and season - last < least:
            text = f"{told} in {last}; the limit “{limits.all[key].limit.name}” is {least.normalize():f} years."
            found.append(Objection(f"limit_{key}", "dam" if key.startswith("dam") else "sire", text, dam))
    return found


def objections_since_signed(pairs: Iterable[tuple[str, str]], stock: str, day: date, known: Known) -> list[Objection]:
    """Return the warnings that a fish of a planned cross bears another tag than when the plan was signed."""
    found: dict[str, Objection] = {}
    for dam, sire in pairs:
        plan = next((one for one in plans_of(stock, day, known) if (dam, sire) in one.pairs), None)
        for role, number in (("dam", dam), ("sire", sire)) if plan else ():
            for tag in known.tags_on(number):
                text = _changed(number, tag, plan) if plan else ""
                if text:
                    found[text] = Objection("tag_changed", role, text, number, warning=True)
    return list(found.values())


def _changed(fish: str, tag: KnownTag, plan: KnownPlan) -> str:
    signed = f"after plan {plan.number} was signed on {spoken(plan.signed_on)}"
    sure = "Make sure that this is the fish that was planned."
    if tag.ended_on and tag.ended_on >= plan.signed_on and tag.attached_on <= plan.signed_on:
        return f"{fish}: tag {tag.code.code} ended on {spoken(tag.ended_on)}, {signed}. {sure}"
    if tag.attached_known and tag.attached_on > plan.signed_on:
        return f"{fish}: tag {tag.code.code} was put in on {spoken(tag.attached_on)}, {signed}. {sure}"
    return ""


def objections_to_words(entry: OffPlanAcknowledged) -> list[Objection]:
    """Return what is wrong with an acknowledgement."""
    if entry.words.strip():
        return []
    return [Objection("missing", "words", "Write what you make of it, in a few words.")]
