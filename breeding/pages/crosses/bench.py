"""A plan on the workbench: what it is asked for, its crosses as they stand, and their figures beside the best plan."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from breeding.planning.advice.beside import Beside, Optimum, figures_beside, figures_of_any
from breeding.planning.plan import Plan
from breeding.planning.problem import Problem
from registry.exports import runs
from registry.models import CrossPlan, PlanAnswer, PlannedCross
from registry.queries.crosses.made import made_of
from registry.queries.crosses.plans import pairs_of
from registry.queries.crosses.season.answer import answer_of, inbreeding_of
from registry.queries.crosses.season.faults import Fault, faults_of
from registry.queries.crosses.season.keep import kept_season
from registry.queries.crosses.season.problem import SeasonProblem
from registry.queries.crosses.season.question import asked_of, question_of, still_bounds
from registry.queries.crosses.season.sizes import sizes_of, with_sizes
from registry.rules.crossing.crosses import PairWanted
from registry.rules.crossing.plans import Answer
from registry.rules.crossing.wishes import Wishes

PLANS = runs.Kind("plans", "Another plan is being worked out. Wait until it is done, or cancel it.")

Pair = tuple[int, int]  # positions of dam and sire
Names = tuple[str, str]


@dataclass(frozen=True, eq=False)
class Bench:
    """A plan and what it is asked for, as the register knows it now; each figure is computed when it is first asked."""

    season: SeasonProblem
    rows: Sequence[PlannedCross]

    @property
    def plan(self) -> CrossPlan:
        """Return the plan, with its stock and `state`."""
        return self.season.plan

    @property
    def wishes(self) -> Wishes:
        """Return what is asked of the plan."""
        return self.season.wishes

    @property
    def problem(self) -> Problem | None:
        """Return the question; None while a sex has no candidate."""
        return self.season.problem

    @cached_property
    def question(self) -> dict[str, Any]:
        """Return the question's name."""
        return question_of(self.problem) if self.problem else {}

    @cached_property
    def sizes(self) -> dict[Pair, float]:
        """Return planned family sizes by position, in families of the size of the others; only those given."""
        return sizes_of(self.season, self.rows)

    def sizes_with(self, names: Names, young: int | None) -> dict[Pair, float]:
        """Return the sizes once so many young are planned of a cross; None: as many as of each of the others."""
        found, _ = self.season.positions([names])
        others = {pair: size for pair, size in self.sizes.items() if pair not in found}
        return others | (dict.fromkeys(found, young / self.season.family_young) if young else {})

    @property
    def loose_sizes(self) -> bool:
        """Return whether sizes are given of crosses that are not locked, which no search reckons by."""
        return self.problem is not None and bool(self.sizes.keys() - set(self.problem.fixed))

    @cached_property
    def placed(self) -> tuple[list[Pair], list[Names]]:
        """Return the plan's crosses by position, and apart those of which a fish is no candidate (any more)."""
        return self.season.positions((row.dam.number, row.sire.number) for row in self.rows)

    @cached_property
    def made(self) -> list[Names]:
        """Return the plan's crosses that were made."""
        made = made_of(self.plan, self.rows)
        return [(row.dam.number, row.sire.number) for row in self.rows if made.get(row.pk)]

    @cached_property
    def pairs(self) -> list[Pair]:
        """Return the plan's crosses and those made this season beside it, as far as they count, by position.

        Crosses of fish that are no candidates are left out.
        """
        made, _ = self.season.positions(self.season.made)
        return list(dict.fromkeys([*self.placed[0], *made]))

    @cached_property
    def faults(self) -> list[Fault]:
        """Return what the plan's crosses break, as it is judged when it is handed in."""
        names = [(row.dam.number, row.sire.number) for row in self.rows]
        return faults_of(self.season, names)

    @cached_property
    def best(self) -> runs.Run | None:
        """Return the newest search whose bound holds for what the plan asks today."""
        if not self.problem:
            return None
        found = runs.recent(PLANS, plan=self.plan.number)
        return next((run for run in found if "best" in run and still_bounds(run["question"], self.question)), None)

    @cached_property
    def answer(self) -> PlanAnswer | None:
        """Return the figures written of the plan's crosses."""
        return self.plan.answers.current().first()

    @cached_property
    def bound(self) -> float | None:
        """Return what J no plan goes below, by the newest search that still tells, or by what was written then."""
        if self.best:
            return float(self.best["best"]["lower_bound"])
        row = self.answer
        if row is None or row.lower_bound is None or not self.problem:
            return None
        return float(row.lower_bound) if still_bounds(asked_of(row.asked), self.question) else None

    @cached_property
    def optimum(self) -> Optimum | None:
        """Return what is known of the best plan."""
        if not self.best:
            return None
        figures = self.best["best"]["figures"]
        return Optimum(figures["objective"], figures["group_coancestry"], self.bound)

    @cached_property
    def beside(self) -> Beside | None:
        """Return the figures of the plan's crosses beside the best plan; None where there is nothing to judge."""
        return self.beside_of(self.pairs)

    def beside_of(self, pairs: Sequence[Pair]) -> Beside | None:
        """Return the figures of any crosses beside the best plan; of their own where no best plan is known."""
        if not self.problem or not pairs:
            return None
        own = figures_of_any(self.problem, pairs, self.sizes)
        optimum = self.optimum or Optimum(own.objective, own.group_coancestry, self.bound)
        return figures_beside(self.problem, pairs, optimum, self.sizes)

    @cached_property
    def as_plan(self) -> Plan | None:
        """Return the crosses as a plan with the bound that is known; None while they are none within the limits.

        Sizes given of crosses that are not locked do not count in it, since they do not in the bound.
        """
        if not self.problem or not self.beside or self.beside.broken or self.placed[1]:
            return None
        bound = 0.0 if self.bound is None else self.bound
        figures = figures_of_any(self.problem, self.pairs)
        return Plan(self.problem, tuple(sorted(self.pairs)), figures, bound, 0.0, cut_short=False)

    def inbreeding(self, pairs: Sequence[Pair], sizes: Mapping[Pair, float] | None = None) -> float:
        """Return the mean expected inbreeding of the young of some crosses, by the sizes that are searched with."""
        return inbreeding_of(self.season, pairs, sizes)

    def wanted(self, pair: Names) -> PairWanted | None:
        """Return a pair as an operation takes it, with its kinship now; None where a fish is no candidate."""
        found, _ = self.season.positions([pair])
        if not found or not self.problem:
            return None
        return PairWanted(dam=pair[0], sire=pair[1], kinship=Decimal(repr(float(self.problem.between[found[0]]))))

    def answer_of(self, pairs: Iterable[Names], sizes: Mapping[Pair, float] | None = None) -> Answer | None:
        """Return the figures of some crosses to be written with them; None where they cannot all be judged."""
        sizes = self.sizes if sizes is None else sizes
        listed = list(pairs)
        found, _ = self.season.positions(listed)
        fixed = set(self.problem.fixed) if self.problem else set()
        searched = sizes.keys() & set(found) <= fixed and sizes == self.sizes
        return answer_of(self.season, listed, self.bound if searched else None, sizes)


def bench_of(plan: CrossPlan) -> Bench:
    """Return a plan on the workbench."""
    season, rows = kept_season(plan), list(pairs_of(plan))
    return Bench(with_sizes(season, sizes_of(season, rows)), rows)
