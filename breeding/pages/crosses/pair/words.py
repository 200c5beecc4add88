"""What is known of one pair in a plan, in words: how close, why in, why not, what changing it would do."""

from typing import Any

from breeding.pages.crosses.bench import Bench, Pair
from breeding.pages.crosses.names import NAMES
from breeding.planning.advice.alternatives import Exchange, in_place_of, instead_of
from breeding.planning.advice.asked import ask_about
from breeding.planning.advice.told import told_asked
from breeding.planning.plan import Effort
from breeding.planning.problem import Problem
from breeding.planning.reasons import closeness, figure
from registry.queries.crosses.doubt import Doubt
from registry.queries.crosses.season import reasons

# How long a person waits for the plan with or without a pair.
ASKED_SECONDS = 2.0
ALTERNATIVES = 8
DIPLOID = 2

Told = dict[str, Any]


def why_in(bench: Bench) -> dict[Pair, list[str]]:
    """Return for each cross of the plan why it is in: its place among others, and the founders it serves."""
    if not bench.problem or not bench.pairs:
        return {}
    return reasons.why_in(bench.season, bench.pairs, reasons.founders_in(bench.season))


def asked_about(bench: Bench, pair: Pair) -> list[str]:
    """Return what the plan would be with a pair that is not in it, or without one that is: some seconds' work."""
    plan = bench.as_plan
    if plan is None:
        return ["The plan as it stands breaks limits, so that there is nothing to compare with. Mend it first."]
    return told_asked(plan, ask_about(plan, pair, Effort(ASKED_SECONDS)), NAMES)


def ruled_out_by(problem: Problem, pair: Pair) -> list[str]:
    """Return the limits that forbid a pair."""
    return [NAMES.get(key, key) for key, out in problem.ruled_out.items() if out[pair]]


def exchanges(bench: Bench, pair: Pair) -> list[Told]:
    """Return what could stand in the place of a cross of the plan, or what a pair could take the place of."""
    problem, pairs = bench.problem, bench.pairs
    assert problem is not None
    if pair in problem.fixed or not pairs:
        return []
    found = instead_of(problem, pairs, pair, ALTERNATIVES) if pair in pairs else in_place_of(problem, pairs, pair)
    return [_exchange(problem, one) for one in found[:ALTERNATIVES]]


def _exchange(problem: Problem, one: Exchange) -> Told:
    return {
        "lost": (problem.dams[one.lost[0]], problem.sires[one.lost[1]]),
        "added": (problem.dams[one.added[0]], problem.sires[one.added[1]]),
        "kinship": figure(float(problem.between[one.added])),
        "effect": effect(one.worse),
    }


def effect(worse: float) -> str:
    """Return by how much a plan gets better or worse: J in hundredths, which is gene diversity at price 0."""
    if abs(worse) < 5e-8:
        return "as good"
    return f"{'worse' if worse > 0 else 'better'} by {100 * abs(worse):.4f} %"


def range_in_words(doubt: Doubt | None, limit: float | None) -> str:
    """Return how far the kinship of a pair may lie from its mean over doubtful parents; "" where that is certain."""
    if doubt is None:
        return ""
    if doubt.bounds is None:
        return "parents in doubt in more ways than can be counted"
    least, most = (figure(bound) for bound in doubt.bounds)
    told = f"{least} to {most} by who the parents are"
    return f"{told}: the limit lies between" if doubt.decides(limit) else told


def relationship_in_words(kinship: float, ploidy: int) -> str:
    """Return how close two fish are; named relatives are those of two gene copies, which relationship stands for."""
    return closeness(kinship * ploidy / DIPLOID)
