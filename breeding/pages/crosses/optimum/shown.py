"""What a search for the best plan found, as the page shows it."""

from typing import Any

from django.utils.safestring import SafeString, mark_safe

from breeding.figures.trade_off import Choice, trade_off
from breeding.pages.crosses.bench import Bench
from breeding.pages.crosses.names import name_of
from breeding.planning.advice.told import per_cent
from breeding.planning.reasons import figure
from registry.exports import runs
from registry.web.links import address

NOTHING = 5e-9  # of gene diversity: no decimal shown would tell it from nought

Told = dict[str, Any]


def progress_of(run: runs.Run, seconds: int) -> Told:
    """Return how far a search is: the step, the best so far and the bound in words, and the share of the time."""
    told: Told = {"part": run.get("part", "starting"), "step": run.get("step", ""), "seconds": seconds}
    told["of"] = max(int(2 * run["seconds"]), seconds)
    objective, bound = run.get("objective"), run.get("lower_bound")
    if objective is None or bound is None:
        return told
    told["gap"] = per_cent(max(0.0, (objective - bound) / objective if objective else 0.0))[0]
    if not run["price"]:
        told["kept"], told["most"] = per_cent(1 - objective, 1 - bound)
    return told


def answer_of(bench: Bench, run: runs.Run, may_take: bool) -> Told:
    """Return the proof in sentences, the figures, the curve and the prices of the limits."""
    best = run["best"]
    curve = [_point(bench, run, place, may_take) for place in range(1, len(run.get("curve", [])) + 1)]
    return {
        "sentences": best["sentences"],
        "best": figures_in_words(best)
        | {
            "take": address("plan_take", bench.plan.number, run["token"], 0) if may_take else "",
            "seconds": f"{best['seconds']:.1f}",
        },
        "binding": _binding(best),
        "curve": curve,
        "picture": _picture(curve, bench) if curve else "",
        "costs": [_cost(one) for one in run.get("costs", [])],
        "stale": run["question"] != bench.question,
    }


def figures_in_words(plan: Told) -> Told:
    """Return the figures of a plan that a search kept."""
    pairs, figures = plan["pairs"], plan["figures"]
    return {
        "crosses": len(pairs),
        "dams": len({dam for dam, *_ in pairs}),
        "sires": len({sire for _, sire, _ in pairs}),
        "diversity": f"{100 * (1 - figures['group_coancestry']):.3f} %",
        "inbreeding": figure(plan["inbreeding"]),
        "pairs": pairs,
    }


def _point(bench: Bench, run: runs.Run, place: int, may_take: bool) -> Told:
    point = run["curve"][place - 1]
    take = address("plan_take", bench.plan.number, run["token"], place) if may_take else ""
    choice = Choice(1 - point["figures"]["group_coancestry"], point["inbreeding"], take)
    return figures_in_words(point) | {"number": place, "price": f"{point['price']:g}", "take": take, "choice": choice}


def _picture(curve: list[Told], bench: Bench) -> SafeString:
    here = None
    if bench.beside is not None:
        here = Choice(1 - bench.beside.figures.group_coancestry, bench.inbreeding(bench.pairs))
    drawn = trade_off([point["choice"] for point in curve], "Gene diversity against inbreeding", here=here)
    return mark_safe(drawn)  # noqa: S308  (drawn by the site, every text escaped)


def _binding(best: Told) -> list[Told]:
    by_limit: dict[tuple[str, int], list[str]] = {}
    for one in best["binding"]:
        by_limit.setdefault((one["limit"], one["value"]), []).append(one["fish"])
    return [
        {"name": name_of(limit), "value": value, "fish": [one for one in fish if one]}
        for (limit, value), fish in by_limit.items()
    ]


def _cost(cost: Told) -> Told:
    diversity, better = cost["gene_diversity"], cost["objective"] > NOTHING
    return {
        "name": name_of(cost["limit"]),
        "diversity": f"{100 * diversity:.4f} %" if diversity > NOTHING else "nothing",
        "otherwise": better and diversity <= NOTHING,
    }
