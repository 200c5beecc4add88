"""What is entered of plans: a draft, a pair taken out, a signature."""

from typing import Any

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone

from breeding.pages.crosses.forms import DraftForm, SignForm, TakeOutForm
from breeding.pages.crosses.plans import lines_of
from registry.models import CrossPlan, PlanSignature
from registry.operations.crossing.crosses import STATEMENT, draft_plan, sign_plan, take_pair_out
from registry.permissions import PLAN, SIGN
from registry.queries.crosses.plans import free_plan_number, plans
from registry.web.entry_view import EntryView
from registry.web.links import address


class DraftPlan(EntryView):
    """A new draft, to be filled from the page of pairs."""

    form_class = DraftForm
    operation = draft_plan
    permission = PLAN
    title = "Draft a cross plan"
    button = "Draft it"

    def initial(self) -> dict[str, Any]:
        season = timezone.localdate().year
        return {"season": season, "number": free_plan_number(season), **super().initial()}

    def after(self, record: CrossPlan) -> str:
        return address("plan", record.number)


class SignPlan(EntryView):
    """The geneticist's signature under a plan."""

    form_class = SignForm
    operation = sign_plan
    permission = SIGN
    button = "Sign"
    template_name = "breeding/crosses/sign.html"

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        self.number = kwargs["number"]
        self.title = f"Sign cross plan {self.number}"

    def initial(self) -> dict[str, Any]:
        return {"statement": STATEMENT}

    def form_kwargs(self) -> dict[str, Any]:
        return {"plan": self.number}

    def context(self) -> dict[str, Any]:
        found = get_object_or_404(plans(), number=self.number)
        return {"plan": found, "pairs": lines_of(found)}

    def after(self, _record: PlanSignature) -> str:
        return address("plan", self.number)


class TakePairOut(EntryView):
    """A pair leaves a draft, with the reason."""

    form_class = TakeOutForm
    operation = take_pair_out
    permission = PLAN
    button = "Take it out"

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        self.number = kwargs["number"]
        self.title = f"Take a pair out of plan {self.number}"

    def form_kwargs(self) -> dict[str, Any]:
        get_object_or_404(CrossPlan.objects.current(), number=self.number)
        return {"plan": self.number}

    def after(self, record: CrossPlan) -> str:
        return address("plan", record.number)
