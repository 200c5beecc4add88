"""Where no plan is possible: what stands in the way, and each way out with the page on which it is taken."""

from typing import Any
from urllib.parse import urlencode

from breeding.pages.crosses.bench import Bench
from breeding.planning.advice.relaxation import CROSSES, FEWER_FISH, LEVEL, LIFTED, ROOM, USES
from breeding.planning.feasible import FEWEST_DAMS, FEWEST_SIRES
from breeding.planning.problem import SCHEME
from registry.exports import runs
from registry.rules.crossing.limits import BY_KEY, PairLimit
from registry.web.links import address

# Limits that the engine knows by a name of its own.
OWN_KEY = {FEWEST_DAMS: "least_dams", FEWEST_SIRES: "least_sires"}

Told = dict[str, Any]


def blocked(bench: Bench, run: runs.Run, may_plan: bool) -> Told:
    """Return what stands in the way and the ways out, each with links to where it is taken."""
    found = run["blocking"]
    ways = [
        {"sentence": way["sentence"], "parts": [_link(bench, part) for part in way["parts"]] if may_plan else []}
        for way in found["ways"]
    ]
    return {"wanted": found["wanted"], "possible": found["possible"], "by": found["by"], "ways": ways}


def _link(bench: Bench, part: Told) -> Told:
    number, key = bench.plan.number, OWN_KEY.get(part["limit"], part["limit"])
    if part["how"] == CROSSES:
        return _to("Ask for so many", address("plan_terms", number), crosses=int(part["value"]))
    if part["limit"] == SCHEME:
        return _to("Choose another scheme", address("plan_terms", number))
    if key in BY_KEY:
        return _relaxing(bench, BY_KEY[key], part)
    return _to("Look at the fish", address("plan_candidates", number))


def _relaxing(bench: Bench, limit: PairLimit, part: Told) -> Told:
    """Return the link to a limit's page with the figure filled in that is enough, or to lift it."""
    target, how = address("plan_limit", bench.plan.number, limit.key), part["how"]
    held = bench.wishes.limits.figure(limit.key)
    counted = limit.key in ("crosses_per_dam", "crosses_per_sire")
    if how in (LEVEL, FEWER_FISH):
        return _to("Relax it", target, how="set", value=f"{part['value']:g}")
    if how == USES and counted and held is not None:
        return _to("Relax it", target, how="set", value=f"{int(held) + int(part['by'])}")
    if limit.switch or how == LIFTED:
        return _to("Lift it", target)
    return _to("Relax it", target, **({"how": "lift"} if how == ROOM else {}))


def _to(label: str, target: str, **asked: Any) -> Told:
    return {"label": label, "address": f"{target}?{urlencode(asked)}" if asked else target}
