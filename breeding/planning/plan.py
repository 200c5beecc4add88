"""The best plan that time allows, with the proof of how good it is."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from breeding.planning.feasible import check_feasible
from breeding.planning.objective import TIE, Figures, figures_of, objective_of
from breeding.planning.problem import Problem, Whole
from breeding.planning.proof.bound import WORTH_WHILE, Bound, new_bound, raise_by_pairs, raise_by_uses
from breeding.planning.proof.branch import prove
from breeding.planning.search.draft import Draft, new_draft
from breeding.planning.search.mates import least_related
from breeding.planning.search.restarts import (
    SEED,
    better_of,
    better_uses,
    complete,
    figures,
    improve,
    settled,
    shaken,
)

Pair = tuple[int, int]

PROVEN = 1e-9
# Beyond so many pairs a proof by branches with the pairs in it would not come far.
PROVABLE_PAIRS = 3_000
# Shares of the time after which each step gives way to what comes next.
USES_UNTIL, PAIRS_UNTIL, SHAKE_UNTIL, SEARCH_UNTIL = 0.5, 0.65, 0.75, 0.8
# Restarts end here, not by the clock, so that the same question gets the same plan.
MOST_RESTARTS, RESTARTS_WITHOUT_GAIN = 400, 60


@dataclass(frozen=True)
class Progress:
    """Where the work stands: the step, the best plan's objective so far and the bound."""

    step: str
    objective: float
    lower_bound: float


@dataclass(frozen=True)
class Effort:
    """How long to look, whom to tell, and whom to ask whether to stop.

    Attributes
    ----------
    seconds : the work ends soon after, with the best plan so far and its honest gap.
    progress : told of each step.
    cancelled : asked now and then; True ends the work as time does.
    proof : whether to bound what any other plan could be; without it a good plan is all that is looked for.
    """

    seconds: float = 10.0
    progress: Callable[[Progress], None] = lambda _: None
    cancelled: Callable[[], bool] = lambda: False
    proof: bool = True


@dataclass(frozen=True)
class Plan:
    """The plan found.

    Attributes
    ----------
    pairs : positions (dam, sire), sorted, the fixed ones included.
    lower_bound : no plan within the limits has a lower objective.
    cut_short : whether time or a cancel ended a part of the work before it was done.
    """

    problem: Problem
    pairs: tuple[Pair, ...]
    figures: Figures
    lower_bound: float
    seconds: float
    cut_short: bool

    @property
    def gap(self) -> float:
        """How much better any other plan can be at most, as a share of the objective; never negative."""
        objective = self.figures.objective
        return max(0.0, (objective - self.lower_bound) / objective) if objective > 0 else 0.0

    @property
    def proven(self) -> bool:
        """Whether no plan is better."""
        return self.gap <= PROVEN


@dataclass(slots=True, eq=False)
class _Work:
    """The plan and the bound as they stand; changed in place. `until` is the share of the time for the present step."""

    problem: Problem
    effort: Effort
    start: float
    best: Draft
    bound: Bound
    until: float = 1.0
    cut_short: bool = False

    def stop(self) -> bool:
        """Whether the time of this step is up or the person has had enough."""
        stop = time.monotonic() - self.start > self.until * self.effort.seconds or self.effort.cancelled()
        self.cut_short |= stop
        return stop

    def goes_on(self, until: float) -> bool:
        """Whether a proof is wanted, still missing, and time is left for it; begins the next step."""
        self.until = until
        return self.effort.proof and not self.bound.closed and not self.stop()

    def tell(self, step: str) -> None:
        """Tell how far the work has come."""
        self.bound.aim = figures(self.best).objective
        self.effort.progress(Progress(step, self.bound.aim, min(self.bound.value, self.bound.aim)))


def best_plan(problem: Problem, effort: Effort | None = None, near: Sequence[Pair] = ()) -> Plan:
    """The plan of least objective that can be found, and a bound on every other.

    The same question gets the same plan, unless time or a cancel cut the work short.

    Parameters
    ----------
    near
        Pairs of positions (dam, sire) to begin from, such as a plan changed by hand; those outside limits fall away.

    Raises
    ------
    InfeasibleError
        No plan lies within the limits; with those in the way.
    """
    start = time.monotonic()
    check_feasible(problem)
    work = _begin(problem, effort or Effort(), start)
    if near:
        _begin_near(work, near)
    _improve_and_prove(work)
    pairs = tuple(sorted([*problem.fixed, *work.best.pairs]))
    told = figures_of(problem, pairs)
    seconds = time.monotonic() - start
    return Plan(problem, pairs, told, min(work.bound.value, told.objective), seconds, work.cut_short)


def _begin(problem: Problem, effort: Effort, start: float) -> _Work:
    draft = new_draft(problem, objective_of(problem))
    complete(draft)
    work = _Work(problem, effort, start, draft, new_bound(problem, figures(draft).objective))
    work.bound.stop, work.bound.risen = work.stop, lambda: work.tell("bound")
    if not problem.free:  # everything is fixed: there is one plan
        work.bound.value = work.bound.aim
    work.tell("first plan")
    return work


def _begin_near(work: _Work, near: Sequence[Pair]) -> None:
    """Take over what is left of a plan within the limits, completed, if that is better."""
    problem, draft = work.problem, new_draft(work.problem, work.best.objective)
    for pair in sorted(set(near) - set(problem.fixed)):
        dams, sires = draft.fish_costs()
        possible = np.isfinite(draft.cost[pair] + dams[pair[0]] + sires[pair[1]])
        if possible and len(draft.pairs) < problem.free:
            draft.put(*pair)
    if problem.scheme is None or len(draft.pairs) < problem.free or not _by_scheme(problem, draft.uses):
        complete(draft)
    improve(draft)
    work.best = better_of(work.best, draft)
    work.tell("from the plan at hand")


def _by_scheme(problem: Problem, uses: Whole) -> bool:
    """Whether every fish has all of its mates or none."""
    return bool(((uses == problem.needed) | ((problem.needed == 0) & (uses == problem.mates))).all())


def _improve_and_prove(work: _Work) -> None:
    if not work.stop():
        improve(work.best)
        _settle(work)
        work.tell("improved cross by cross")
    if work.goes_on(USES_UNTIL):
        raise_by_uses(work.bound, work.best.pairs)
    pairs_matter = _raise_by_pairs(work)
    _shake(work)
    provable = not pairs_matter or work.problem.allowed.size <= PROVABLE_PAIRS
    _restart(work, SEARCH_UNTIL if provable else 1.0)
    if provable and work.goes_on(1.0):
        prove(work.bound, work.best.pairs, pairs_matter=pairs_matter, tell=lambda uses: _offer(work, uses))
        work.tell("proof")
    _settle(work)


def _raise_by_pairs(work: _Work) -> bool:
    """Raise the bound with the pairs in it where they can count; whether they did."""
    priced = work.problem.price > 0
    if (not priced and work.problem.allowed.all()) or not work.goes_on(PAIRS_UNTIL):
        return priced
    before = work.bound.value
    raise_by_pairs(work.bound, work.best.pairs)
    return priced or work.bound.value > before + WORTH_WHILE * (work.bound.aim - before)


def _shake(work: _Work) -> None:
    """Look for better uses where pairs have no price."""
    work.until = SHAKE_UNTIL
    if work.problem.price > 0 or work.problem.free < 2 or work.bound.closed or work.stop():
        return
    work.best = better_of(work.best, better_uses(work.best, work.stop))
    _settle(work)
    work.tell("shaken")


def _settle(work: _Work) -> None:
    work.best = better_of(work.best, settled(work.best))


def _restart(work: _Work, until: float) -> None:
    """Look further; for a proven plan too, since another as good may have less related pairs."""
    work.until = until
    random = np.random.default_rng(SEED)
    without_gain = 0
    for _ in range(MOST_RESTARTS if work.problem.free > 1 else 0):
        if without_gain >= RESTARTS_WITHOUT_GAIN or work.stop():
            return
        trial = shaken(work.best, random)
        if figures(trial).objective <= work.bound.aim + TIE:
            trial = settled(trial)
        better = better_of(work.best, trial)
        without_gain = without_gain + 1 if better is work.best else 0
        work.best = better
        work.tell("looking further")


def _offer(work: _Work, uses: Whole) -> float:
    """Take over uses that the proof came upon, if they make a better plan; answers with the best objective."""
    trial = new_draft(work.problem, work.best.objective, least_related(work.problem, uses))
    improve(trial)
    work.best = better_of(work.best, trial)
    work.tell("proof")
    return work.bound.aim
