"""If a fish drops out tonight: which crosses then take the place of its own, for page and night sheet."""

from dataclasses import dataclass, replace
from typing import Any

from breeding.pages.crosses.bench import Bench, Pair
from breeding.pages.crosses.names import name_of
from breeding.planning.advice.beside import figures_of_any
from breeding.planning.advice.held import CROSSES, FIXED, broken_by
from breeding.planning.feasible import FEWEST, InfeasibleError
from breeding.planning.plan import Effort, Plan, best_plan
from breeding.planning.problem import SCHEME, Problem
from breeding.planning.second_best import Replacement, replacements

# Numbers of fish and a scheme give way tonight; that a cross is one more or less is no fault of those that stand.
GIVES_WAY = {CROSSES, FIXED, SCHEME, *FEWEST}
REPLACED_WITHIN_S = 1.0

Told = dict[str, Any]


@dataclass(frozen=True)
class SecondBest:
    """What stands ready for tonight.

    Attributes
    ----------
    lines : a line for each fish with crosses to be made: the fish, what falls away, what takes its place.
    gone : crosses of fish that may not be used any more, and what takes their place.
    why_none : in words, where nothing can be told.
    """

    lines: list[Told]
    gone: Told | None = None
    why_none: str = ""


def second_best(bench: Bench) -> SecondBest:
    """Return the list for the crosses that are still to be made."""
    problem, pairs = bench.problem, bench.pairs
    if problem is None or not bench.rows:
        return SecondBest([])
    gone = _gone(bench, problem)
    if not pairs:
        return SecondBest([], gone)
    made, _ = bench.season.positions([*bench.season.made, *bench.made])
    tonight = replace(problem, crosses=len(pairs), fixed=tuple(sorted(set(made))), in_all={})
    # A pair that a limit forbids by now stands all the same: what takes its place is to be known all the more.
    broken = [one for one in broken_by(tonight, pairs) if one.limit not in GIVES_WAY and len(one.fish) < 2]
    if broken:
        named = ", ".join(dict.fromkeys(name_of(one.limit) for one in broken))
        return SecondBest([], gone, f"The plan breaks limits ({named}). Mend it first, then this list is worked out.")
    plan = Plan(tonight, tuple(sorted(pairs)), figures_of_any(tonight, pairs), 0.0, 0.0, cut_short=False)
    return SecondBest([_line(bench, one) for one in replacements(plan).values()], gone)


def _line(bench: Bench, one: Replacement) -> Told:
    blocked = ", ".join(dict.fromkeys(name_of(each.limit) for each in one.blocking))
    return {
        "fish": _fish(bench, one.fish),
        "lost": bench.season.numbers(one.lost),
        "added": _told(bench, one.added),
        "blocked": blocked,
    }


def _gone(bench: Bench, problem: Problem) -> Told | None:
    """Return the crosses whose fish may not be used any more and what the rest is best completed with."""
    strange = bench.placed[1]
    if not strange:
        return None
    left = {one.candidate.number: one.reasons for one in bench.season.left_out}
    why = [reason.words for pair in strange for fish in pair for reason in left.get(fish, ())]
    wanted = replace(problem, crosses=len(bench.pairs) + len(strange), fixed=tuple(sorted(bench.pairs)), in_all={})
    try:
        found = best_plan(wanted, Effort(REPLACED_WITHIN_S, proof=False))
    except InfeasibleError:
        return {"lost": strange, "why": list(dict.fromkeys(why)), "added": []}
    added = sorted(set(found.pairs) - set(bench.pairs))
    return {"lost": strange, "why": list(dict.fromkeys(why)), "added": _told(bench, added)}


def _told(bench: Bench, pairs: tuple[Pair, ...] | list[Pair]) -> list[tuple[Told, Told]]:
    return [(_fish(bench, dam), _fish(bench, sire)) for dam, sire in bench.season.numbers(pairs)]


def _fish(bench: Bench, number: str) -> Told:
    held = bench.season.candidates.get(number)
    return {"number": number, "code": held.candidate.code if held else ""}
