"""One milt lot, and what was taken out of it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from registry.models import MiltLot
from registry.permissions import CORRECT, ENTER, READ_JOURNAL, may
from registry.queries.crosses.milt import lot_rows, uses_of
from registry.web.people import actor


def milt_lot(request: HttpRequest, number: str) -> HttpResponse:
    """Show one lot."""
    lot = get_object_or_404(lot_rows(), number=number)
    who = actor(request)
    shown = {
        "title": f"Milt lot {number}",
        "lot": lot,
        "earlier": MiltLot.objects.filter(number=number, withdrawn__isnull=False).select_related("male").order_by("pk"),
        "uses": uses_of(lot),
        "corrects": may(who, CORRECT),
        "enters": may(who, ENTER),
        "reads_journal": may(who, READ_JOURNAL),
    }
    return render(request, "registry/milt/lot.html", shown)
