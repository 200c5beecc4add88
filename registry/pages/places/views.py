"""One holding unit: what is in it, and its water."""

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from registry.permissions import ADMINISTER, END_QUARANTINE, ENTER, READ_JOURNAL, may
from registry.queries.intake.holds import held_in
from registry.queries.places import batches_in, fish_in, last_temperatures, unit_rows
from registry.web.links import address
from registry.web.people import actor

MOST = 100


def unit(request: HttpRequest, name: str) -> HttpResponse:
    """Show one unit."""
    found = get_object_or_404(unit_rows(), name=name)
    shown = {
        "title": name,
        "unit": found,
        "fish": fish_in(found)[:MOST],
        "batches": batches_in(found),
        "held": held_in(name),
        "reads_journal": may(actor(request), READ_JOURNAL),
        "marks": address("quarantine_unit") if may(actor(request), ADMINISTER) else "",
        "ends": address("quarantine_release") if may(actor(request), END_QUARANTINE) else "",
        "temperatures": last_temperatures(found.water_system) if found.water_system else [],
        "fish_list": f"{address('fish_list')}?{urlencode({'unit': found.pk})}",
        "enters": may(actor(request), ENTER),
    }
    return render(request, "registry/places/unit.html", shown)
