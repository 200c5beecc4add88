"""The fish that a plan must use, ticked in one list: in a full factorial each female ticked meets each male ticked."""

from typing import Any

from django import forms
from django.http import HttpRequest

from breeding.pages.crosses.bench import Bench, bench_of
from breeding.pages.crosses.of_plan import plan_or_404
from breeding.pages.crosses.wishes.forms import REASON
from breeding.planning.reasons import figure
from registry.operations.crossing.plans.wishes import choose_plan_fish
from registry.permissions import PLAN
from registry.queries.crosses.season.fish import NOT_CHOSEN, Looked
from registry.queries.crosses.season.scheme import FULL_FACTORIAL
from registry.rules.crossing.wishes import CHOSEN, FishChosen
from registry.web.entry_view import EntryForm, EntryView
from registry.web.links import address

Choices = list[tuple[str, str]]
SEXES = {"females": "F", "males": "M"}


class ChooseForm(EntryForm):
    """Every female and male that may be used, to be ticked."""

    females = forms.MultipleChoiceField(label="Females", required=False, widget=forms.CheckboxSelectMultiple)
    males = forms.MultipleChoiceField(label="Males", required=False, widget=forms.CheckboxSelectMultiple)
    reason = forms.CharField(label="Reason", max_length=400, required=False, help_text=REASON)

    def __init__(self, *args: Any, plan: str, offered: dict[str, Choices], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan = plan
        for name, choices in offered.items():
            self.fields[name].choices = choices
            if not choices:
                self.fields[name].help_text = "None may be used. The page of the fish says why."

    def entry(self) -> FishChosen:
        """Return what the operation takes."""
        given = self.cleaned_data
        return FishChosen(plan=self.plan, fish=(*given["females"], *given["males"]), reason=given["reason"])


class ChooseFish(EntryView):
    """Choose the fish of a draft; what was chosen before is ticked."""

    form_class = ChooseForm
    operation = choose_plan_fish
    permission = PLAN
    template_name = "breeding/crosses/wishes/choose.html"
    button = "Choose these"
    form_names = {"fish": "females"}

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        self.plan = plan_or_404(kwargs["number"])
        self.bench = bench_of(self.plan)
        self.title = f"Choose the fish of plan {self.plan.number}"

    def form_kwargs(self) -> dict[str, Any]:
        return {"plan": self.plan.number, "offered": _offered(self.bench)}

    def initial(self) -> dict[str, Any]:
        words = self.bench.wishes.fish.values()
        chosen = [word for word in words if word.stand == CHOSEN]
        ticked = [word.fish for word in chosen]
        return {"females": ticked, "males": ticked, "reason": chosen[0].reason if chosen else ""}

    def context(self) -> dict[str, Any]:
        factorial = self.bench.wishes.terms.scheme == FULL_FACTORIAL
        terms = address("plan_terms", self.plan.number)
        back = address("plan_candidates", self.plan.number)
        return {"plan": self.plan, "back": back, "factorial": factorial, "terms": terms}

    def after(self, _record: Any) -> str:
        return address("plan_candidates", self.plan.number)


def _offered(bench: Bench) -> dict[str, Choices]:
    """Return the fish that nothing is against but that others were chosen, and those chosen, rarest genes first."""
    season = bench.season
    kinship = dict(zip(season.candidates, season.mean_kinship.tolist(), strict=True))
    looked = {one.candidate.number: one for one in (*season.candidates.values(), *season.left_out)}
    chosen = {word.fish for word in bench.wishes.fish.values() if word.stand == CHOSEN}
    free = [
        one
        for number, one in looked.items()
        if number in chosen or {reason.limit for reason in one.reasons} <= {NOT_CHOSEN}
    ]
    free.sort(key=lambda one: (kinship.get(one.candidate.number, 1.0), one.candidate.number))
    return {
        name: [(one.candidate.number, _told(one, kinship)) for one in free if one.candidate.sex == sex]
        for name, sex in SEXES.items()
    }


def _told(one: Looked, kinship: dict[str, float]) -> str:
    fish = one.candidate
    mean = f"mean kinship {figure(kinship[fish.number])}" if fish.number in kinship else ""
    against = " ".join(reason.words for reason in one.reasons if reason.limit != NOT_CHOSEN)
    return " · ".join(part for part in (fish.number, fish.code, fish.unit, mean, against) if part)
