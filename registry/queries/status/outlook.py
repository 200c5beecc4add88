"""What a projection of a stock starts from: the parents at hand, a plan, and the habit of the past seasons."""

from dataclasses import dataclass
from datetime import date

from breeding.planning.projection.question import Pair, Question
from registry.models import CrossPlan, CrossSire, FishDetails, PlannedCross, Stock
from registry.queries.catalogue import inheritance_of
from registry.queries.catalogue.profiles import maturity_years
from registry.queries.pedigree import pedigree_of
from registry.queries.status.figures import Status
from registry.queries.status.ranked import Ranked

MOST_OF_A_SEX = 100
LOOKED_AT = 500  # rows of the ranked living read together, and no more than MOST_READ in all
MOST_READ = 5000
SEASONS = 5


@dataclass(frozen=True, slots=True)
class Asked:
    """What a person chose; `plan` is the number of a cross plan, or empty."""

    plan: str
    generations: int
    families: int
    kept: int
    replicates: int
    seed: int


def question_of(stock: Stock, status: Status, asked: Asked, today: date) -> Question:
    """Return what is projected: up to 100 living fish of mature age of each sex, lowest mean kinship first.

    Fish of the plan join them, a male of whom only milt is left too. Fish of unknown age count as mature.
    """
    pairs = _pairs(asked.plan)
    mature = maturity_years(stock.species)
    dams = _parents(Ranked(stock, status, "F"), mature["F"], today)
    sires = _parents(Ranked(stock, status, "M"), mature["M"], today)
    dams += [dam for dam in dict.fromkeys(dam for dam, _ in pairs) if dam not in dams]
    sires += [sire for sire in dict.fromkeys(sire for _, sire in pairs) if sire not in sires]
    inherits = inheritance_of(stock)
    return Question(
        pedigree=pedigree_of({*dams, *sires}, *inherits),
        dams=tuple(dams),
        sires=tuple(sires),
        plan=tuple(pairs),
        habit=_habit(stock, today),
        generations=asked.generations,
        families=asked.families,
        kept=asked.kept,
        replicates=asked.replicates,
        seed=asked.seed,
        double_reduction=inherits.double_reduction,
    )


def plans_of(stock: Stock) -> list[str]:
    """Return the numbers of the stock's plans that hold pairs, the newest first."""
    planned = PlannedCross.objects.current().values("plan")
    rows = CrossPlan.objects.current().filter(stock=stock, pk__in=planned).order_by("-season", "-pk")
    return list(rows.values_list("number", flat=True))


def _pairs(plan: str) -> list[Pair]:
    rows = PlannedCross.objects.current().filter(plan__number=plan, plan__withdrawn__isnull=True)
    return list(rows.order_by("pk").values_list("dam_id", "sire_id"))


def _parents(ranked: Ranked, years: int, today: date) -> list[int]:
    """Return the keys of the first of mature age."""
    found: list[int] = []
    for start in range(0, min(len(ranked), MOST_READ), LOOKED_AT):
        rows: list[FishDetails] = [row["details"] for row in ranked[start : start + LOOKED_AT]]
        found += [row.fish_id for row in rows if not row.hatched_on or today.year - row.hatched_on.year >= years]
        if len(found) >= MOST_OF_A_SEX:
            break
    return found[:MOST_OF_A_SEX]


def _habit(stock: Stock, today: date) -> tuple[Pair, ...]:
    since = date(today.year - SEASONS + 1, 1, 1)
    rows = CrossSire.objects.current().filter(cross__withdrawn__isnull=True, cross__spawning__withdrawn__isnull=True)
    rows = rows.filter(cross__spawning__stock=stock, cross__spawning__spawned_on__gte=since).order_by("pk")
    return tuple(rows.values_list("cross__dam_id", "sire_id"))
