"""A cross made outside the signed plan is read and acknowledged by whoever answers for the plan."""

from typing import Any

from django import forms
from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from registry.models import Cross, OffPlanSeen
from registry.operations.crossing.off_plan import acknowledge_off_plan
from registry.operations.shared.entries import OffPlanAcknowledged
from registry.permissions import ACKNOWLEDGE
from registry.rules.crossing.at_tank import LONGEST_WORDS
from registry.web.entry_view import EntryForm, EntryView
from registry.web.links import address


class OffPlanForm(EntryForm):
    """What the reader makes of it."""

    words = forms.CharField(
        label="Your remark",
        max_length=LONGEST_WORDS,
        help_text="Such as: right, she would not have lasted; or what is to be done with the young.",
    )

    def __init__(self, *args: Any, family: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.family = family

    def entry(self) -> OffPlanAcknowledged:
        """Return what the operation takes."""
        return OffPlanAcknowledged(family=self.family, words=self.cleaned_data["words"])


class AcknowledgeOffPlan(EntryView):
    """The word on one cross."""

    form_class = OffPlanForm
    operation = acknowledge_off_plan
    permission = ACKNOWLEDGE
    title = "A cross made outside the plan"
    button = "Acknowledge"
    template_name = "registry/spawning/off_plan.html"

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        self.family = kwargs["family"]

    def form_kwargs(self) -> dict[str, Any]:
        return {"family": self.family}

    def context(self) -> dict[str, Any]:
        made = Cross.objects.current().exclude(off_plan_reason="").filter(family__number=self.family)
        rows = made.select_related("spawning__stock", "family", "dam", "entry").prefetch_related("sires__sire")
        return {"cross": get_object_or_404(rows), "spawning": address("spawning", rows[0].spawning.number)}

    def after(self, record: OffPlanSeen) -> str:
        return address("spawning", record.cross.spawning.number)
