"""What is asked at each step of a plan's way."""

from typing import Any

from django import forms

from registry.operations.shared.entries import (
    NotMade,
    PlanAmended,
    PlanClosed,
    PlanReturned,
    PlanSigned,
    PlanSubmitted,
    RemarkMade,
)
from registry.rules.crossing.plans import STATEMENT
from registry.web.entry_view import EntryForm
from registry.web.fields import FishNumber


def words(label: str, help_text: str = "", *, required: bool = True, longest: int = 1000) -> forms.CharField:
    """Return a field for a few sentences."""
    area = forms.Textarea(attrs={"rows": 4})
    return forms.CharField(label=label, required=required, max_length=longest, widget=area, help_text=help_text)


class SubmitForm(EntryForm):
    """A draft goes to review."""

    words = words("For the reviewer", "What is to be looked at; may stay empty.", required=False)

    def __init__(self, *args: Any, plan: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan

    def entry(self) -> PlanSubmitted:
        """Return what the operation takes."""
        return PlanSubmitted(plan=self.plan, words=self.cleaned_data["words"])


class ReturnForm(EntryForm):
    """A plan goes back to its author."""

    words = words("What is to change", "The author reads this on the plan.")

    def __init__(self, *args: Any, plan: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan

    def entry(self) -> PlanReturned:
        """Return what the operation takes."""
        return PlanReturned(plan=self.plan, words=self.cleaned_data["words"])


class SignForm(EntryForm):
    """The geneticist's word."""

    statement = forms.CharField(label="Statement", max_length=1000, widget=forms.Textarea, initial=STATEMENT)

    def __init__(self, *args: Any, plan: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan

    def entry(self) -> PlanSigned:
        """Return what the operation takes."""
        return PlanSigned(plan=self.plan, statement=self.cleaned_data["statement"])


class CloseForm(EntryForm):
    """A plan is over."""

    words = words("Closing words", "How the season went. A plan never signed needs the reason.", required=False)

    def __init__(self, *args: Any, plan: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan

    def entry(self) -> PlanClosed:
        """Return what the operation takes."""
        return PlanClosed(plan=self.plan, words=self.cleaned_data["words"])


class AmendForm(EntryForm):
    """A signed plan is to change."""

    reason = words("Why it is to change", "The amendment begins with all that this plan holds.")

    def __init__(self, *args: Any, plan: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan

    def entry(self) -> PlanAmended:
        """Return what the operation takes."""
        return PlanAmended(plan=self.plan, reason=self.cleaned_data["reason"])


class RemarkForm(EntryForm):
    """A comment on the plan, or on a cross."""

    words = words("Remark")
    dam = FishNumber(label="Female", required=False, help_text="For a remark on one cross; else leave both empty.")
    sire = FishNumber(label="Male", required=False)

    def __init__(self, *args: Any, plan: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan

    def entry(self) -> RemarkMade:
        """Return what the operation takes."""
        return RemarkMade(plan=self.plan, **self.cleaned_data)


class NotMadeForm(EntryForm):
    """Why a planned cross was not made."""

    dam = FishNumber(label="Female")
    sire = FishNumber(label="Male")
    reason = forms.CharField(
        label="Why it was not made", max_length=400, required=False, help_text="Empty takes an earlier reason back."
    )

    def __init__(self, *args: Any, plan: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan

    def entry(self) -> NotMade:
        """Return what the operation takes."""
        return NotMade(plan=self.plan, **self.cleaned_data)
