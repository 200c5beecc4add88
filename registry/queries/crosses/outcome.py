"""What became of a plan: planned against made, cross by cross and in figures, and what the season did to the stock."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from breeding.planning.advice.set_figures import SetFigures, figures_of_set
from registry.models import Cross, CrossNotMade, CrossPlan, CrossSire, PlannedCross, PlanRemark
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.made import made_of, makings
from registry.queries.crosses.plans import pairs_of
from registry.queries.pedigree import pedigree_of
from registry.queries.status.classes import Year
from registry.queries.status.keep import kept_status


@dataclass(frozen=True, slots=True)
class Line:
    """A planned cross with what was made of it, or the reason that was given why not."""

    planned: PlannedCross
    made: tuple[CrossSire, ...]
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class OffPlan:
    """A cross made in the season that the plan does not hold, with its males."""

    cross: Cross
    males: tuple[CrossSire, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """Planned against made. Figures are None where there is no cross to compute them of."""

    lines: tuple[Line, ...]
    off_plan: tuple[OffPlan, ...]
    planned: SetFigures | None
    made: SetFigures | None
    made_crosses: int


@dataclass(frozen=True, slots=True)
class Effect:
    """The stock before the season and after it, registered fish; `with_young` counts the untagged young of today."""

    before: Year | None
    after: Year | None
    with_young: float | None


def outcome_of(plan: CrossPlan) -> Outcome:
    """Return what became of a plan. A fixed number of statements, and two for each generation of the pedigree."""
    rows = list(pairs_of(plan))
    made = made_of(plan, rows)
    reasons = CrossNotMade.objects.current().filter(planned__plan=plan)
    why = dict(reasons.values_list("planned_id", "reason"))
    lines = tuple(Line(row, tuple(made.get(row.pk, ())), why.get(row.pk, "")) for row in rows)
    season = _crosses_of_season(plan)
    planned_pairs = {(row.dam_id, row.sire_id) for row in rows}
    off = tuple(
        OffPlan(cross, tuple(males))
        for cross, males in season.items()
        if any((cross.dam_id, male.sire_id) not in planned_pairs for male in males)
    )
    weights: dict[tuple[int, int], float] = defaultdict(float)
    for cross, males in season.items():
        for male in males:
            weights[cross.dam_id, male.sire_id] += float(male.share)
    inherits = inheritance_of(plan.stock)
    everybody = {fish for pair in (*planned_pairs, *weights) for fish in pair}
    pedigree = pedigree_of(everybody, *inherits) if everybody else None
    return Outcome(
        lines=lines,
        off_plan=off,
        planned=figures_of_set(pedigree, dict.fromkeys(planned_pairs, 1.0)) if pedigree and planned_pairs else None,
        made=figures_of_set(pedigree, weights) if pedigree and weights else None,
        made_crosses=len(season),
    )


def effect_of(plan: CrossPlan) -> Effect:
    """Return the stock's gene diversity before and after the season of a plan, as its status page has it."""
    status = kept_status(plan.stock)
    years = {year.year: year for year in status.years} if status else {}
    young = kept_status(plan.stock, batches=True)
    return Effect(
        before=years.get(plan.season - 1),
        after=years.get(plan.season),
        with_young=young.headline.gene_diversity if young else None,
    )


def remarks_of(plan: CrossPlan) -> list[PlanRemark]:
    """Return the remarks on a plan and its crosses, in order."""
    rows = PlanRemark.objects.current().filter(plan=plan).select_related("entry", "dam", "sire")
    return list(rows.order_by("pk"))


def _crosses_of_season(plan: CrossPlan) -> dict[Cross, list[CrossSire]]:
    """Return the crosses of the plan's stock and season with their males, in the order in which they were entered."""
    rows: Iterable[CrossSire] = (
        makings()
        .filter(cross__spawning__stock=plan.stock, cross__spawning__spawned_on__year=plan.season)
        .select_related("cross__spawning", "cross__family", "cross__dam", "sire")
        .order_by("cross_id", "-share", "pk")
    )
    found: dict[Cross, list[CrossSire]] = defaultdict(list)
    for row in rows:
        found[row.cross].append(row)
    return found
