"""Recording a night: look at the pairs, then write all of it at once."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone

from registry.errors import Objection, Refused
from registry.operations.crossing.spawning import named_by_night, record_spawning
from registry.operations.shared.entries import SpawningNight
from registry.pages.spawning.forms import CrossForm
from registry.pages.spawning.looks import Looking
from registry.pages.spawning.sheet import BLANK_ROWS, CrossRow, NightSheet, widened
from registry.permissions import ENTER
from registry.queries.crosses.spawning import free_family_numbers
from registry.queries.known import known
from registry.rules.crossing.spawning import objections_to_night
from registry.web.entry_view import SEEN, TICKED, EntryView
from registry.web.people import actor

LOOK, ADD = "look", "add-"


class RecordSpawning(EntryView):
    """The sheet of a night: any number of crosses, looked at before they are written."""

    form_class = CrossForm
    operation = record_spawning
    permission = ENTER
    title = "Record a spawning"
    template_name = "registry/spawning/night.html"

    def get(self, request: HttpRequest, *_: Any, **__: Any) -> HttpResponse:
        return self.sheet(NightSheet(typed=_first(request)))

    def post(self, request: HttpRequest, *_: Any, **__: Any) -> HttpResponse:
        wanted = request.POST.get("do", "")
        if wanted.startswith(ADD):
            return self.sheet(_wider(request, wanted))
        sheet = NightSheet(request.POST)
        if not sheet.is_valid():
            return self.sheet(sheet, status=422)
        entry = sheet.entry()
        warnings = _look(sheet, entry)
        if wanted == LOOK:
            return self.sheet(sheet, warnings=warnings, looked=True)
        if sheet.errors or not self._seen(warnings):
            return self.sheet(sheet, status=422, warnings=warnings)
        try:
            record = record_spawning(actor(request), entry)
        except Refused as refused:
            sheet.lay_on_night(refused.objections)
            return self.sheet(sheet, status=422, warnings=warnings)
        messages.success(request, self.done(record))
        return HttpResponseRedirect(self.after(record))

    def sheet(
        self, sheet: NightSheet, status: int = 200, warnings: tuple[Objection, ...] = (), looked: bool = False
    ) -> HttpResponse:
        """Return the page with the sheet as it stands."""
        shown = {"form": sheet, "title": self.title, "warnings": () if looked else warnings, "looked": looked}
        return render(self.request, self.template_name, shown, status=status)

    def _seen(self, warnings: tuple[Objection, ...]) -> bool:
        seen = set(self.request.POST.getlist(SEEN)) if TICKED in self.request.POST else set()
        return all(objection.message in seen for objection in warnings)


def _look(sheet: NightSheet, entry: SpawningNight) -> tuple[Objection, ...]:
    """Look at every cross, mark what is in the way at its own row, and return the warnings."""
    facts = known(named_by_night(entry))
    looking = Looking(entry, facts)
    told: set[Objection] = set()
    warnings: list[Objection] = []
    for row, cross in zip(sheet.used, entry.crosses, strict=True):
        row.look = looking.at(cross)
        sheet.lay_on_cross(row, [objection for objection in row.look.objections if not objection.warning])
        told.update(row.look.objections)
        warnings += row.look.warnings
    sheet.lay_on_night(objection for objection in objections_to_night(entry, facts) if objection not in told)
    return tuple(dict.fromkeys(warnings))


def _first(request: HttpRequest) -> dict[str, Any]:
    """Return what a fresh sheet holds: today, the next free family numbers, and what the address names."""
    today = timezone.localdate()
    typed: dict[str, Any] = {"night-spawned_on": today}
    for row, number in enumerate(free_family_numbers(today, BLANK_ROWS)):
        typed[f"cross-{row}-family"] = number
    for name, field in (("dam", "cross-0-dam"), ("sire", "cross-0-male-0-sire")):
        typed[field] = request.GET.get(name, "")
    return typed


def _wider(request: HttpRequest, wanted: str) -> NightSheet:
    sheet = NightSheet(request.POST, males=widened(request.POST, wanted), ask=False)
    last = sheet.rows[-1]
    if not last.form.initial.get("family") and wanted == "add-cross":
        last.form.initial["family"] = _next_family(sheet.rows)
    return sheet


def _next_family(rows: list[CrossRow]) -> str:
    """Return the first free number that no row of the sheet holds."""
    held = {row.form.initial.get("family") for row in rows}
    free = free_family_numbers(timezone.localdate(), len(rows) + 1)
    return next(number for number in free if number not in held)
