"""Cross plans of the demo: last season's, made and closed; next season's in every state of its way."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from breeding.genetics.kinship import kinship_among
from registry.demo.broodfish import mature
from registry.demo.founders import relate_unbred_founders
from registry.demo.hatchery import Brood, Hatchery
from registry.models import Fish
from registry.operations.crossing.plans.drafts import amend_plan, draft_plan
from registry.operations.crossing.plans.pairs import swap_pair, take_crosses
from registry.operations.crossing.plans.review import (
    close_plan,
    remark,
    return_plan,
    sign_plan,
    submit_plan,
    tell_not_made,
)
from registry.operations.crossing.plans.wishes import set_limit, set_plan_fish, set_terms
from registry.operations.shared.entries import (
    CrossesTaken,
    CrossMade,
    FishStand,
    LimitSet,
    NotMade,
    PairSwapped,
    PairWanted,
    PlanAmended,
    PlanClosed,
    PlanDraft,
    PlanReturned,
    PlanSigned,
    PlanSubmitted,
    RemarkMade,
    TermsSet,
)
from registry.queries.crosses.pairs import kinship_of_pairs
from registry.queries.crosses.plans import pairs_of, plans
from registry.queries.pedigree import pedigree_of

LIMIT = 0.125
PAIRS = 6


def plan_and_depart(hatchery: Hatchery, stock: dict[str, Any], year: int, crosses: list[CrossMade]) -> list[CrossMade]:
    """Sign a plan of what will be made that night but for one cross, which goes to another male for want of milt."""
    by, number = hatchery.people["geneticist"], f"{year}-{stock['prefix']}"
    off, others = crosses[0], crosses[1:]
    _, males = mature(hatchery, stock, year)
    used = {share.sire for cross in crosses for share in cross.sires}
    dam = hatchery.brood[off.dam]
    fit = [m for m in males if m.number not in used and not ((m.parents | {m.number}) & (dam.parents | {dam.number}))]
    pairs = [(cross.dam, cross.sires[0].sire) for cross in others]
    if fit:
        pairs.append((off.dam, fit[0].number))
    draft_plan(by, PlanDraft(number=number, stock=stock["name"], season=year))
    why = "The youngest year classes come of few families; the next founders are to be caught in autumn."
    set_limit(by, LimitSet(plan=number, key="relationship", value=Decimal("0.4"), reason=why))
    take_crosses(by, CrossesTaken(plan=number, pairs=_with_kinship(pairs)))
    _sign(hatchery, number, "As agreed in the winter meeting.")
    if not fit:
        return crosses
    reason = f"{fit[0].number} gave no milt that night"
    tell_not_made(hatchery.people["staff"], NotMade(plan=number, dam=off.dam, sire=fit[0].number, reason="no milt"))
    return [replace(off, off_plan_reason=reason), *others]


def close_season(hatchery: Hatchery, year: int) -> None:
    """Close the plan of a season that is over."""
    words = "All females but one were stripped as planned; her eggs went to another male."
    close_plan(hatchery.people["geneticist"], PlanClosed(plan=f"{year}-UI", words=words))


def plan_next_season(hatchery: Hatchery, season: int) -> None:
    """Draft a plan for each stock, as its founders are related: one signed and amended, one returned, one in review."""
    relate_unbred_founders(hatchery)
    numbers = {}
    for stock in hatchery.told["stocks"]:
        females, males = mature(hatchery, stock, season)
        pairs = _least_kin(females, males)
        if pairs:
            numbers[stock["prefix"]] = _draft(hatchery, stock, season, pairs)
    if "UI" in numbers:
        _sign_and_amend(hatchery, numbers["UI"], season)
    if "LI" in numbers:
        _return(hatchery, numbers["LI"])
    if "MA" in numbers:
        words = "Few males are left: please look at the frozen milt."
        submit_plan(hatchery.people["geneticist"], PlanSubmitted(plan=numbers["MA"], words=words))


def _draft(hatchery: Hatchery, stock: dict[str, Any], season: int, pairs: tuple[PairWanted, ...]) -> str:
    by, number = hatchery.people["geneticist"], f"{season}-{stock['prefix']}"
    notes = "Least related pairs first; to be looked at again after the spring checks."
    draft_plan(by, PlanDraft(number=number, stock=stock["name"], season=season, pairs=pairs, notes=notes))
    set_terms(by, TermsSet(plan=number, crosses=len(pairs)))
    reason = "The plan is made in winter, before the spring checks."
    set_limit(by, LimitSet(plan=number, key="ripe", reason=reason))
    return number


def _sign(hatchery: Hatchery, number: str, words: str) -> None:
    by = hatchery.people["geneticist"]
    submit_plan(by, PlanSubmitted(plan=number, words=words))
    sign_plan(by, PlanSigned(plan=number))


def _sign_and_amend(hatchery: Hatchery, number: str, season: int) -> None:
    """Sign a plan; then let a male that was not in it take the place of one that is found too small."""
    by = hatchery.people["geneticist"]
    _sign(hatchery, number, "")
    rows = [(r.dam.number, r.sire.number) for r in pairs_of(plans().get(number=number))]
    dam, sire = rows[-1]
    words = "She bit at the last biopsy: two people, please."
    remark(hatchery.people["staff"], RemarkMade(plan=number, words=words, dam=rows[0][0], sire=rows[0][1]))
    stock = next(s for s in hatchery.told["stocks"] if number.endswith(s["prefix"]))
    females, males = mature(hatchery, stock, season)
    free = [m for m in males if m.number not in {sire for _, sire in rows}]
    pair = _least_kin([f for f in females if f.number == dam], free)
    if not pair:
        return
    amendment = amend_plan(by, PlanAmended(plan=number, reason=f"{sire} is too small this winter")).number
    reason = "too small this winter"
    set_plan_fish(by, FishStand(plan=amendment, fish=sire, stand="out", reason=reason))
    swap_pair(by, PairSwapped(plan=amendment, dam=dam, sire=sire, pair=pair[0], reason=f"{sire} is {reason}"))
    _sign(hatchery, amendment, "One male replaced.")


def _return(hatchery: Hatchery, number: str) -> None:
    by = hatchery.people["geneticist"]
    submit_plan(by, PlanSubmitted(plan=number))
    return_plan(by, PlanReturned(plan=number, words="Use the two oldest females while they live."))


def _least_kin(females: list[Brood], males: list[Brood]) -> tuple[PairWanted, ...]:
    """Return the least related pairs, each female and each male once."""
    numbers = [b.number for b in females + males]
    keys = dict(Fish.objects.filter(number__in=numbers).values_list("number", "pk"))
    kinship = kinship_among(pedigree_of(keys.values()), [keys[n] for n in numbers])
    between = kinship[: len(females), len(females) :].copy()
    pairs = []
    while len(pairs) < PAIRS and between.size and between.min() < LIMIT:
        f, m = divmod(int(between.argmin()), len(males))
        value = Decimal(repr(float(between[f, m])))
        pairs.append(PairWanted(dam=females[f].number, sire=males[m].number, kinship=value))
        between[f, :] = between[:, m] = 1
    return tuple(pairs)


def _with_kinship(pairs: list[tuple[str, str]]) -> tuple[PairWanted, ...]:
    """Return pairs of register numbers with their kinship."""
    keys = dict(Fish.objects.filter(number__in={n for pair in pairs for n in pair}).values_list("number", "pk"))
    found = kinship_of_pairs([(keys[dam], keys[sire]) for dam, sire in pairs])
    return tuple(
        PairWanted(dam=dam, sire=sire, kinship=Decimal(repr(found[keys[dam], keys[sire]]))) for dam, sire in pairs
    )
