"""Pages on which a permit is entered, corrected or taken back."""

from dataclasses import asdict
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse

from registry.errors import Refused
from registry.models import Permit
from registry.operations.papers.permits import (
    PermitCorrected,
    correct_permit,
    enter_permit,
    standing_permit,
    take_permit_back,
)
from registry.pages.papers.forms import LINE, PermitForm, TakeBackForm, line_values
from registry.permissions import KEEP_PERMITS, Actor
from registry.rules.fixed.cautions import PAPERS
from registry.rules.papers.paper import PermitGiven
from registry.web.entry.lines import MORE, apart, at_its_line, line_count, lines_of
from registry.web.entry_view import EntryView

LINES = 4
HELP = (
    "A line for each thing that is allowed, with the number of fish where one is stated. What is done counts against "
    "every line that covers it: write a total and a part of it as two lines."
)


def write_permit(by: Actor, entry: PermitGiven | PermitCorrected, *, confirmed: bool) -> Permit:
    """Enter a permit, or what a permit should read."""
    if isinstance(entry, PermitCorrected):
        return correct_permit(by, entry, confirmed=confirmed)
    return enter_permit(by, entry, confirmed=confirmed)


class Paper(EntryView):
    """A new permit; with a number in the address, that permit as it should read."""

    form_class = PermitForm
    operation = write_permit
    permission = KEEP_PERMITS
    title = "Enter a permit"
    button = "Enter the permit"
    caution = PAPERS
    template_name = "registry/web/entry_lines.html"

    def dispatch(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        self.number = options.get("number", "")
        self.standing = _standing(self.number) if self.number else None
        if self.number:
            self.title, self.button = f"Correct permit {self.number}", "Correct it"
        return super().dispatch(request, *args, **options)

    def form_kwargs(self) -> dict[str, Any]:
        least = max(LINES, len(self.standing.allowances) + 1 if self.standing else 0)
        return {"lines": line_count(self.request.POST, "act", least), "corrected": self.number}

    def initial(self) -> dict[str, Any]:
        return asdict(self.standing) | line_values(self.standing) if self.standing else super().initial()

    def page(self, form: Any, *args: Any, **options: Any) -> HttpResponse:
        group = {"title": "What it allows", "lines": lines_of(form, LINE), "help": HELP}
        self.lines = {"groups": [group], "apart": apart(form, LINE)}
        return super().page(form, *args, **options)

    def context(self) -> dict[str, Any]:
        return self.lines

    def post(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        if MORE in request.POST:
            return self.page(self.form_class(initial=request.POST.dict(), **self.form_kwargs()))
        return super().post(request, *args, **options)

    def write(self, entry: Any) -> Any:
        try:
            return super().write(entry)
        except Refused as refused:
            found = [at_its_line(one, self.request.POST, {name: name for name in LINE}) for one in refused.objections]
            raise type(refused)(found) from refused


class TakeBack(EntryView):
    """A permit that was entered in error."""

    form_class = TakeBackForm
    operation = take_permit_back
    permission = KEEP_PERMITS
    button = "Take it back"
    caution = PAPERS
    then = "permit_list"

    def dispatch(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        self.number = _standing(options["number"]).number
        self.title = f"Take permit {self.number} back"
        return super().dispatch(request, *args, **options)

    def form_kwargs(self) -> dict[str, Any]:
        return {"number": self.number}


def _standing(number: str) -> PermitGiven:
    found = standing_permit(number)
    if found is None:
        raise Http404(f"There is no permit {number} in the register.")
    return found
