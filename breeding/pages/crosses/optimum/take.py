"""A plan that a search found, taken: its crosses become the plan's, whatever stood in it before."""

from typing import Any

from django.http import Http404, HttpRequest

from breeding.pages.crosses.bench import PLANS, bench_of
from breeding.pages.crosses.of_plan import plan_or_404
from breeding.pages.crosses.optimum.forms import TakeForm
from breeding.pages.crosses.optimum.runs_of import plans_of
from breeding.pages.crosses.optimum.shown import figures_in_words
from registry.exports import runs
from registry.operations.crossing.plans.pairs import take_crosses
from registry.permissions import PLAN
from registry.rules.crossing.crosses import PairWanted
from registry.web.entry_view import EntryView
from registry.web.links import address


class TakePlan(EntryView):
    """One plan of a search, by its place: 0 is the best, then those of the curve."""

    form_class = TakeForm
    operation = take_crosses
    permission = PLAN
    template_name = "breeding/crosses/optimum/take.html"
    button = "Take these crosses"

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        self.plan = plan_or_404(kwargs["number"])
        run = runs.read(PLANS, kwargs["token"])
        found = plans_of(run) if run and run["plan"] == self.plan.number else []
        if run is None or kwargs["place"] >= len(found):
            raise Http404
        self.run, self.found = run, found[kwargs["place"]]
        self.title = f"Take {len(self.found['pairs'])} crosses into plan {self.plan.number}"

    def form_kwargs(self) -> dict[str, Any]:
        bench = bench_of(self.plan)
        names = [(dam, sire) for dam, sire, _ in self.found["pairs"]]
        wanted = [bench.wanted(pair) or PairWanted(dam=pair[0], sire=pair[1]) for pair in names]
        return {"plan": self.plan.number, "pairs": tuple(wanted), "answer": bench.answer_of(names)}

    def context(self) -> dict[str, Any]:
        now = set(self.plan.planned.current().values_list("dam__number", "sire__number"))
        then = {(dam, sire) for dam, sire, _ in self.found["pairs"]}
        return {
            "plan": self.plan,
            "back": address("plan_best_run", self.plan.number, self.run["token"]),
            "figures": figures_in_words(self.found),
            "stays": sorted(now & then),
            "goes": sorted(now - then),
            "comes": sorted(then - now),
        }

    def after(self, _record: Any) -> str:
        return address("plan", self.plan.number)
