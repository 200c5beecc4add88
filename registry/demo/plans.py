"""Cross plans of the demo: last season's, made and closed; next season's in every state of its way."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from breeding.planning.feasible import InfeasibleError
from breeding.planning.plan import Effort, Plan, best_plan
from breeding.planning.problem import Problem
from registry.demo.broodfish import mature
from registry.demo.founders import relate_unbred_founders
from registry.demo.hatchery import Hatchery
from registry.models import Fish
from registry.operations.crossing.plans.drafts import amend_plan, draft_plan
from registry.operations.crossing.plans.pairs import take_crosses
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
from registry.queries.crosses.season.answer import answer_of
from registry.queries.crosses.season.problem import Numbers, season_problem

CROSSES, TOO_MANY = 6, 20
STEPS, LONGEST_S = 100, 60.0
WINTER = "The plan is made in winter, before the spring checks."
# What the plan of the season that is over was allowed.
RELAXED = {
    "ripe": WINTER,
    "tissue": "Fin clips that were forgotten are taken at stripping.",
    "incubators": "Last year's young leave the troughs before the first night.",
}


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
    for key, why in RELAXED.items():
        set_limit(by, LimitSet(plan=number, key=key, reason=why))
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
    """Plan each stock, as its founders are related: signed and amended, returned, in review; one is impossible."""
    relate_unbred_founders(hatchery)
    prefixes = [stock["prefix"] for stock in hatchery.told["stocks"] if _draft(hatchery, stock, season)]
    by = hatchery.people["geneticist"]
    if "UI" in prefixes:
        _sign_and_amend(hatchery, f"{season}-UI")
    if "LI" in prefixes:
        _return(hatchery, f"{season}-LI")
        _ask_too_much(hatchery, season)
    if "MA" in prefixes:
        words = "Few males are left: please look at the frozen milt."
        submit_plan(by, PlanSubmitted(plan=f"{season}-MA", words=words))


def _draft(hatchery: Hatchery, stock: dict[str, Any], season: int) -> bool:
    """Draft a stock's plan and take the best crosses into it; return whether there are any."""
    by, number = hatchery.people["geneticist"], f"{season}-{stock['prefix']}"
    notes = "To be looked at again after the spring checks."
    draft_plan(by, PlanDraft(number=number, stock=stock["name"], season=season, notes=notes))
    set_terms(by, TermsSet(plan=number, crosses=CROSSES))
    set_limit(by, LimitSet(plan=number, key="ripe", reason=WINTER))
    return _take_best(hatchery, number)


def _take_best(hatchery: Hatchery, number: str, keep: Sequence[Numbers] = ()) -> bool:
    """Take the best crosses that the season allows, some kept as they are, with the bound on every other plan."""
    asked = season_problem(plans().get(number=number))
    if asked.problem is None:
        return False
    held, _ = asked.positions(keep)
    try:
        best = _best(asked.problem)
        # What was found beside crosses that are kept bounds no plan that does without them.
        taken_over = _best(replace(asked.problem, fixed=tuple(held))) if held else best
    except InfeasibleError:
        return False
    names = asked.numbers(taken_over.pairs)
    answer = answer_of(asked, names, best.lower_bound)
    taken = CrossesTaken(plan=number, pairs=_with_kinship(names), answer=answer)
    take_crosses(hatchery.people["geneticist"], taken)
    return True


def _best(problem: Problem) -> Plan:
    return best_plan(problem, Effort(LONGEST_S, cancelled=_after(STEPS)))


def _after(steps: int) -> Callable[[], bool]:
    """Return what ends the search after so many steps, not by the clock: the demo is the same on every machine."""
    left = iter(range(steps))
    return lambda: next(left, None) is None


def _ask_too_much(hatchery: Hatchery, season: int) -> None:
    """Draft a plan of more crosses than the incubators take: its search shows the ways out."""
    by, number = hatchery.people["geneticist"], f"{season}-LI-impossible"
    notes = "More crosses than the incubators take: its search says what stands in the way, and the ways out."
    draft_plan(by, PlanDraft(number=number, stock="Lower Isendre", season=season, notes=notes))
    set_terms(by, TermsSet(plan=number, crosses=TOO_MANY))
    set_limit(by, LimitSet(plan=number, key="ripe", reason=WINTER))


def _sign(hatchery: Hatchery, number: str, words: str) -> None:
    by = hatchery.people["geneticist"]
    submit_plan(by, PlanSubmitted(plan=number, words=words))
    sign_plan(by, PlanSigned(plan=number))


def _sign_and_amend(hatchery: Hatchery, number: str) -> None:
    """Sign a plan; then leave out a male that is found too small, and let the best other cross take his place."""
    by = hatchery.people["geneticist"]
    _sign(hatchery, number, "")
    rows = [(r.dam.number, r.sire.number) for r in pairs_of(plans().get(number=number))]
    words = "She bit at the last biopsy: two people, please."
    remark(hatchery.people["staff"], RemarkMade(plan=number, words=words, dam=rows[0][0], sire=rows[0][1]))
    sire = rows[-1][1]
    amendment = amend_plan(by, PlanAmended(plan=number, reason=f"{sire} is too small this winter")).number
    set_plan_fish(by, FishStand(plan=amendment, fish=sire, stand="out", reason="too small this winter"))
    _take_best(hatchery, amendment, [pair for pair in rows if pair[1] != sire])
    _sign(hatchery, amendment, "One male replaced.")


def _return(hatchery: Hatchery, number: str) -> None:
    by = hatchery.people["geneticist"]
    submit_plan(by, PlanSubmitted(plan=number))
    return_plan(by, PlanReturned(plan=number, words="Use the two oldest females while they live."))


def _with_kinship(pairs: Sequence[Numbers]) -> tuple[PairWanted, ...]:
    """Return pairs of register numbers with their kinship."""
    keys = dict(Fish.objects.filter(number__in={n for pair in pairs for n in pair}).values_list("number", "pk"))
    found = kinship_of_pairs([(keys[dam], keys[sire]) for dam, sire in pairs])
    return tuple(
        PairWanted(dam=dam, sire=sire, kinship=Decimal(repr(found[keys[dam], keys[sire]]))) for dam, sire in pairs
    )
