"""What is entered of plans: a draft, a pair taken out, a signature."""

from typing import Any

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone

from breeding.pages.crosses.forms import DraftForm, TakeOutForm
from registry.models import CrossPlan
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.pairs import take_pair_out
from registry.permissions import PLAN
from registry.queries.crosses.plans import free_plan_number
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
