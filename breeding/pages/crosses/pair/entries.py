"""Crosses of a draft put in, taken out, swapped, locked and forbidden; the figures of what then stands are kept."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from django import forms
from django.http import HttpRequest

from breeding.pages.crosses.bench import Bench, Names, bench_of
from breeding.pages.crosses.of_plan import plan_or_404
from breeding.pages.crosses.pair.forms import AddForm, SwapForm, TakeOutForm
from breeding.pages.crosses.pair.sizes import SizeForm, held_size
from breeding.pages.crosses.wishes.forms import PairStandForm
from registry.models import Fish
from registry.operations.crossing.plans.pairs import add_pair, swap_pair, take_pair_out
from registry.operations.crossing.plans.sizes import size_family
from registry.operations.crossing.plans.wishes import set_plan_pair
from registry.permissions import PLAN
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.pairs import kinship_of_pairs
from registry.rules.crossing.crosses import PairWanted
from registry.rules.crossing.plans import PairAdded, PairSwapped, PairTakenOut
from registry.rules.crossing.sizes import FamilySized
from registry.rules.crossing.wishes import PairStand
from registry.web.entry_view import EntryView
from registry.web.links import address

Change = PairAdded | PairTakenOut | PairSwapped


@dataclass(frozen=True)
class Kind:
    """One kind of entry: what is asked, what is done, and what the page is called."""

    form: type[forms.Form]
    deed: Callable[..., Any]
    title: str
    button: str


KINDS: dict[str, Kind] = {
    "add": Kind(AddForm, add_pair, "Put a pair into plan {}", "Put it in"),
    "take_out": Kind(TakeOutForm, take_pair_out, "Take a pair out of plan {}", "Take it out"),
    "swap": Kind(SwapForm, swap_pair, "Swap a pair of plan {}", "Swap them"),
    "size": Kind(SizeForm, size_family, "Family size, plan {}", "Plan it"),
    "stand": Kind(PairStandForm, set_plan_pair, "Lock or forbid a pair, plan {}", "Set it"),
}


class PairEntry(EntryView):
    """A page that changes one cross of a draft, or says what is to become of a pair."""

    permission = PLAN
    template_name = "breeding/crosses/entry.html"
    kind = ""

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        found = KINDS[self.kind]
        self.plan = plan_or_404(kwargs["number"])
        self.form_class, self.button, self.title = found.form, found.button, found.title.format(self.plan.number)

    def deed(self) -> Callable[..., Any]:
        return KINDS[self.kind].deed

    def context(self) -> dict[str, Any]:
        return {"plan": self.plan, "back": address("plan", self.plan.number)}

    def initial(self) -> dict[str, Any]:
        asked = super().initial()
        if self.kind == "size" and {"dam", "sire"} <= asked.keys():
            asked = {"young": held_size(bench_of(self.plan), (asked["dam"], asked["sire"]))} | asked
        return asked

    def write(self, entry: Change | PairStand | FamilySized) -> Any:
        if isinstance(entry, PairStand):
            return super().write(replace(entry, plan=self.plan.number))
        bench = bench_of(self.plan)
        crosses = {(row.dam.number, row.sire.number) for row in bench.rows}
        if isinstance(entry, FamilySized):
            answer = bench.answer_of(sorted(crosses), bench.sizes_with((entry.dam, entry.sire), entry.young))
            return super().write(replace(entry, plan=self.plan.number, answer=answer))
        if not isinstance(entry, PairAdded):
            crosses.discard((entry.dam, entry.sire))
        if not isinstance(entry, PairTakenOut):
            entry = replace(entry, pair=_with_kinship(bench, entry.pair))
            crosses.add((entry.pair.dam, entry.pair.sire))
        return super().write(replace(entry, plan=self.plan.number, answer=bench.answer_of(sorted(crosses))))

    def after(self, _record: Any) -> str:
        return address("plan", self.plan.number)


def _with_kinship(bench: Bench, pair: PairWanted) -> PairWanted:
    """Return the pair with its kinship by today's pedigree."""
    names: Names = (pair.dam, pair.sire)
    keys = dict(Fish.objects.filter(number__in=names).values_list("number", "pk"))
    if not all(name in keys for name in names):
        return pair
    wanted = (keys[pair.dam], keys[pair.sire])
    kinship = kinship_of_pairs([wanted], inheritance_of(bench.plan.stock))[wanted]
    return replace(pair, kinship=Decimal(repr(kinship)))
