"""Cross plans of the demo: last season's, signed and mostly made, and next season's draft."""

from decimal import Decimal

from breeding.genetics.kinship import kinship_among
from registry.demo.broodfish import mature
from registry.demo.hatchery import Brood, Hatchery
from registry.models import Fish
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.review import sign_plan, submit_plan
from registry.operations.shared.entries import PlanSigned, PlanSubmitted
from registry.queries.pedigree import pedigree_of
from registry.rules.crossing.crosses import PairWanted, PlanDraft

LIMIT = 0.125
PAIRS = 6


def plan_next_season(hatchery: Hatchery, season: int) -> None:
    """Draft a plan for each sterlet stock and sign one of them."""
    by = hatchery.people["geneticist"]
    for stock in hatchery.told["stocks"][:2]:
        females, males = mature(hatchery, stock, season)
        pairs = _least_kin(females, males)
        number = f"{season}-{stock['prefix']}"
        draft_plan(
            by,
            PlanDraft(
                number=number,
                stock=stock["name"],
                season=season,
                pairs=pairs,
                notes="Least related pairs first; to be looked at again after the spring checks.",
            ),
        )
        if stock["prefix"] == "UI":
            submit_plan(by, PlanSubmitted(plan=number))
            sign_plan(by, PlanSigned(plan=number))


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
