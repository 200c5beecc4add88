"""What is entered of one plan: terms, limits, a word on a fish, and what that page holds at first."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.http import Http404, HttpRequest

from breeding.pages.crosses.of_plan import plan_or_404
from breeding.pages.crosses.wishes import initial
from breeding.pages.crosses.wishes.forms import FishStandForm, LimitForm, RestoreForm, TermsForm
from breeding.pages.crosses.wishes.words import default_in_words
from registry.operations.crossing.plans.wishes import restore_limit, set_limit, set_plan_fish, set_terms
from registry.permissions import PLAN
from registry.queries.crosses.wishes import wishes_of
from registry.rules.crossing.limits import BY_KEY
from registry.web.entry_view import EntryView
from registry.web.links import address

IDENTITY = (
    "This limit guards what the stock is. A hybrid, a fish of another stock or of odd ploidy in one cross is in every "
    "generation after it. Relaxing it is told on every page of the plan."
)


@dataclass(frozen=True)
class Kind:
    """One kind of entry: what is asked, what is done, and the page of the plan that it belongs to."""

    form: type[forms.Form]
    deed: Callable[..., Any]
    title: str
    button: str
    back: str
    initial: Callable[..., dict[str, Any]] | None = None


KINDS: dict[str, Kind] = {
    "terms": Kind(TermsForm, set_terms, "Terms of plan {plan}", "Set the terms", "plan_limits", initial.terms),
    "limit": Kind(LimitForm, set_limit, "Limit “{limit}” in plan {plan}", "Set it", "plan_limits", initial.limit),
    "restore": Kind(
        RestoreForm, restore_limit, "Restore “{limit}” in plan {plan}", "Give it its default again", "plan_limits"
    ),
    "fish": Kind(
        FishStandForm, set_plan_fish, "A word on a fish, plan {plan}", "Set it", "plan_candidates", initial.fish
    ),
}


class PlanEntry(EntryView):
    """A page that enters one thing of one plan, named by `kind`; `key` in the address names a limit."""

    permission = PLAN
    template_name = "breeding/crosses/entry.html"
    kind = ""

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        found = KINDS[self.kind]
        self.plan, self.limit = plan_or_404(kwargs["number"]), None
        if "key" in kwargs:
            self.limit = BY_KEY.get(kwargs["key"])
            if self.limit is None:
                raise Http404
            self.template_name = "breeding/crosses/wishes/limit.html"
            self.caution = IDENTITY if self.limit.identity and self.kind == "limit" else ""
        self.form_class, self.button = found.form, found.button
        self.title = found.title.format(plan=self.plan.number, limit=self.limit.name if self.limit else "")

    def deed(self) -> Callable[..., Any]:
        return KINDS[self.kind].deed

    def form_kwargs(self) -> dict[str, Any]:
        return {"limit": self.limit} if self.limit else {}

    def initial(self) -> dict[str, Any]:
        asked, held = super().initial(), KINDS[self.kind].initial
        return held(wishes_of(self.plan), asked, self.limit) if held else asked

    def context(self) -> dict[str, Any]:
        shown: dict[str, Any] = {"plan": self.plan, "back": address(KINDS[self.kind].back, self.plan.number)}
        if self.limit:
            held = wishes_of(self.plan).limits.all[self.limit.key]
            shown |= {"limit": self.limit, "held": held, "default": default_in_words(held)}
        return shown

    def write(self, entry: Any) -> Any:
        return super().write(replace(entry, plan=self.plan.number))

    def after(self, _record: Any) -> str:
        return address(KINDS[self.kind].back, self.plan.number)
