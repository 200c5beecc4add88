"""The plans of the demo register: how long the question takes to ask and answer, and a change by hand on its pages."""

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
        _by_hand(tell)


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


def _by_hand(tell: Callable[[str], None]) -> None:
    """Take a cross out of each draft and put it in again, through the pages, beside the bare list of plans."""
    from django.contrib.auth import get_user_model  # noqa: PLC0415
    from django.test import Client  # noqa: PLC0415

    from registry.models import CrossPlan  # noqa: PLC0415
    from registry.queries.crosses.states import stated  # noqa: PLC0415

    client = Client(headers={"host": "127.0.0.1"})
    client.force_login(get_user_model().objects.get(username="geneticist"))
    bare = min(_ms(lambda: client.get("/plans/")) for _ in range(3))
    for plan in stated(CrossPlan.objects.current()).filter(state="draft").order_by("number"):
        page, pair = f"/plans/{plan.number}/", plan.planned.current().select_related("dam", "sire").first()
        if pair is None:
            continue
        names = {"dam": pair.dam.number, "sire": pair.sire.number}
        changes = {"take-out": {"reason": "to see"}, "add": {}, "stand": {"stand": "locked"}}
        for change, more in changes.items():
            written = _ms(lambda one=f"{page}pair/{change}/", sent=names | more: client.post(one, sent))
            shown = _ms(lambda where=page: client.get(where))
            tell(
                f"  {plan.number}: {change} written in {written:.0f} ms, page with the new figures {shown:.0f} ms "
                f"(aim 100 ms at 40 × 60), {shown / bare:.1f} times a bare page"
            )


def _ms(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - start)
