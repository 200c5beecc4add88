"""What an address of the status pages asks for, and the page for an address that asks for nothing there is."""

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from breeding.pages.status.forms import StockForm
from registry.models import Stock
from registry.web.entry_view import EntryForm

TITLE = "Genetic status"


def asked(request: HttpRequest, form: type[EntryForm] = StockForm) -> EntryForm:
    """Return the form as the address fills it; the first stock by default."""
    given = {name: request.GET[name] for name in form.base_fields if name in request.GET}
    first = Stock.objects.current().values_list("name", flat=True).first()
    return form({"stock": first} | given)


def unasked(request: HttpRequest, form: EntryForm) -> HttpResponse:
    """Return the bare form: the address names no stock that there is, or the register has none."""
    known = form.fields["stock"].queryset.exists()
    shown = {"title": TITLE, "asked": form, "known": known}
    return render(request, "breeding/status/unasked.html", shown, status=422 if known else 200)


def refused(request: HttpRequest, why: Exception) -> HttpResponse:
    """Return the page that says why the records give no figures."""
    return render(request, "registry/web/refused.html", {"title": TITLE, "why": str(why)}, status=422)


def query_of(form: EntryForm) -> str:
    """Return the part of an address that asks the same of another page."""
    wanted = {"stock": form.cleaned_data["stock"].name}
    return urlencode(wanted | ({"batches": "on"} if form.cleaned_data.get("batches") else {}))
