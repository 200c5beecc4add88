"""The plans of the demo register: how long the question takes to ask and to answer."""

import os
import tempfile
import time
from collections.abc import Callable


def demo(tell: Callable[[str], None]) -> None:
    """Build the demo in a folder of its own, and look for the best plan of each of its plans."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["SCUTE_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "registry.settings"
        import django  # noqa: PLC0415  (the folder comes first)

        django.setup()
        from django.core.management import call_command  # noqa: PLC0415

        call_command("demo", no_serve=True)
        _plans(tell)


def _plans(tell: Callable[[str], None]) -> None:
    from breeding.planning.feasible import InfeasibleError  # noqa: PLC0415
    from breeding.planning.plan import Effort, best_plan  # noqa: PLC0415
    from registry.models import CrossPlan  # noqa: PLC0415
    from registry.queries.crosses.season.problem import season_problem  # noqa: PLC0415

    tell("the demo")
    for plan in CrossPlan.objects.current().select_related("stock__species").order_by("number"):
        start = time.perf_counter()
        problem = season_problem(plan).problem
        asked = time.perf_counter() - start
        if problem is None:
            tell(f"  {plan.number}: asked in {asked:.3f} s, no candidates of one sex")
            continue
        size = f"{len(problem.dams)} × {len(problem.sires)}, {problem.crosses} crosses"
        try:
            found = best_plan(problem, Effort(10.0))
        except InfeasibleError as error:
            tell(f"  {plan.number}: {size}, asked in {asked:.3f} s: {error}")
        else:
            proven = "proven" if found.proven else f"gap {found.gap:.4%}"
            tell(f"  {plan.number}: {size}, asked in {asked:.3f} s, {proven} after {found.seconds:.2f} s")
