"""How long to look for the best plan, and the yes to taking one."""

from typing import Any

from django import forms

from registry.rules.crossing.crosses import PairWanted
from registry.rules.crossing.plans import Answer, CrossesTaken
from registry.web.entry_view import EntryForm

SECONDS = ((5, "5 seconds"), (20, "20 seconds"), (60, "a minute"), (300, "five minutes"))
USUAL = 20


class SearchForm(EntryForm):
    """How long to look."""

    seconds = forms.TypedChoiceField(
        label="Look for",
        choices=SECONDS,
        coerce=int,
        initial=USUAL,
        help_text="The best plan is mostly there in a second; the rest goes to the proof. As long again goes to the "
        "trade-off curve and the price of each limit.",
    )


class TakeForm(EntryForm):
    """A set of crosses to become the plan's."""

    reason = forms.CharField(
        label="Reason", max_length=400, required=False, help_text="Why this one, for whoever signs the plan."
    )

    def __init__(
        self, *args: Any, plan: str, pairs: tuple[PairWanted, ...], answer: Answer | None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.plan, self.pairs, self.answer = plan, pairs, answer

    def entry(self) -> CrossesTaken:
        """Return what the operation takes."""
        return CrossesTaken(plan=self.plan, pairs=self.pairs, answer=self.answer, reason=self.cleaned_data["reason"])
