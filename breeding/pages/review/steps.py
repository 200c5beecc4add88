"""The steps of a plan's way as entry pages: hand in, return, sign, close, amend; a remark; why a cross was not made."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from breeding.pages.review.forms import (
    AmendForm,
    CloseForm,
    NotMadeForm,
    RemarkForm,
    ReturnForm,
    SignForm,
    SubmitForm,
)
from breeding.planning.reasons import closeness, figure
from registry.models import CrossPlan
from registry.operations.crossing.plans.drafts import amend_plan
from registry.operations.crossing.plans.review import (
    close_plan,
    remark,
    return_plan,
    sign_plan,
    submit_plan,
    tell_not_made,
)
from registry.permissions import ENTER, PLAN, SIGN
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.plans import pairs_of, plans
from registry.queries.crosses.wishes import wishes_of
from registry.rules.crossing.plans import STATEMENT
from registry.web.entry_view import EntryView
from registry.web.links import address


@dataclass(frozen=True)
class Step:
    """One step: its page, what is asked, what is done, by whom."""

    form: type[forms.Form]
    deed: Callable[..., Any]
    permission: str
    title: str
    button: str
    intro: str
    shows_crosses: bool = False


STEPS: dict[str, Step] = {
    "submit": Step(
        SubmitForm, submit_plan, PLAN, "Hand in plan {} for review", "Hand it in",
        "While it is under review nobody changes it. Every cross is judged again, by what the register knows today.",
        True,
    ),
    "return": Step(
        ReturnForm, return_plan, SIGN, "Return plan {}", "Return it",
        "The plan becomes a draft again; what you write stands in its history.",
    ),
    "sign": Step(
        SignForm, sign_plan, SIGN, "Sign cross plan {}", "Sign",
        "Once signed, the plan cannot be changed but by an amendment; the hall works by it.", True,
    ),
    "close": Step(
        CloseForm, close_plan, SIGN, "Close plan {}", "Close it",
        "A closed plan asks for nothing any more. What was made stays compared with it.",
    ),
    "amend": Step(
        AmendForm, amend_plan, PLAN, "Amend plan {}", "Draft the amendment",
        "The amendment is a draft of its own, with its own review and signature. Until it is signed, this plan holds.",
    ),
    "remark": Step(
        RemarkForm, remark, ENTER, "Remark on plan {}", "Write it down",
        "A remark changes nothing in the plan. It stands beside the crosses and in the history.",
    ),
    "not-made": Step(
        NotMadeForm, tell_not_made, ENTER, "Why a cross of plan {} was not made", "Write it down",
        "For the comparison of what was planned with what was made.",
    ),
}  # fmt: skip


class PlanStep(EntryView):
    """One step, named by the address."""

    template_name = "breeding/review/step.html"
    step = ""

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        found = STEPS[self.step]
        self.number = kwargs["number"]
        self.form_class, self.permission, self.button = found.form, found.permission, found.button
        self.title = found.title.format(self.number)

    def deed(self) -> Callable[..., Any]:
        return STEPS[self.step].deed

    def initial(self) -> dict[str, Any]:
        return {"statement": STATEMENT, **super().initial()} if self.step == "sign" else super().initial()

    def form_kwargs(self) -> dict[str, Any]:
        get_object_or_404(CrossPlan.objects.current(), number=self.number)
        return {"plan": self.number}

    def context(self) -> dict[str, Any]:
        found = get_object_or_404(plans(), number=self.number)
        step = STEPS[self.step]
        inherits = inheritance_of(found.stock)
        crosses = [
            (row, figure(float(row.kinship)), closeness(inherits.on_two_copies(float(row.kinship))))
            for row in (pairs_of(found) if step.shows_crosses else ())
        ]
        relaxed = wishes_of(found).limits.relaxed() if step.shows_crosses else []
        return {"plan": found, "intro": step.intro, "crosses": crosses, "relaxed": relaxed}

    def after(self, record: Any) -> str:
        return address("plan", record.number if isinstance(record, CrossPlan) else self.number)
