"""The searches for the best plan: started for a plan, and what they keep."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from django.utils import timezone

from breeding.pages.crosses.bench import PLANS, Bench
from breeding.pages.crosses.names import NAMES
from breeding.pages.crosses.optimum.work import METHOD, Search, work_out
from registry.exports import runs
from registry.models import CrossPlan
from registry.queries.status.revision import pedigree_revision


def start_run(bench: Bench, seconds: int, by: str) -> str:
    """Start looking for the best plan and return the run's token. Raises runs.Busy."""
    problem = bench.problem
    assert problem is not None
    told = {
        "plan": bench.plan.number,
        "question": bench.question,
        "crosses": problem.crosses,
        "candidates": [len(problem.dams), len(problem.sires)],
        "price": problem.price,
        "with_living": problem.living is not None,
        "seconds": seconds,
        "method": METHOD,
        "pedigree_revision": pedigree_revision(),
        "by": by,
    }
    search = Search(problem, bench.season.levels, NAMES, bench.inbreeding, seconds)
    return runs.start(PLANS, told, partial(work_out, search))


def runs_of(plan: CrossPlan) -> Iterator[runs.Run]:
    """Yield the searches of a plan, the newest first."""
    return runs.recent(PLANS, plan=plan.number)


def elapsed(run: runs.Run) -> int:
    """Return for how many seconds a search has been going on."""
    return int((timezone.now() - run["started"]).total_seconds())


def plans_of(run: runs.Run) -> list[dict[str, Any]]:
    """Return the plans of a search that may be taken: the best one, then those of the curve."""
    return [run["best"], *run.get("curve", [])] if "best" in run else []
