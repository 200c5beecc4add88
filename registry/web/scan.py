"""Any tag or number, in one field: opens its page in one step."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from registry.queries.identity.find import LONGEST, Hit, find
from registry.rules.tags import formatted
from registry.web.links import address


def scan(request: HttpRequest) -> HttpResponse:
    """Open the one record that bears what was scanned or typed; offer the choice when there are several."""
    text = request.GET.get("q", "").strip()
    found = find(text)
    opened = [hit for hit in found.hits if address(hit.kind, hit.number)]
    lost = [hit for hit in found.hits if hit.lost]
    if len(found.hits) == 1 and opened and not lost:
        hit = opened[0]
        if not hit.now:
            messages.info(request, f"Fish {hit.number} {hit.why}.")
        return HttpResponseRedirect(address(hit.kind, hit.number))
    shown = {
        "looked_for": text[:LONGEST],
        "found": found,
        "lost": lost,
        "meant": [{"code": one.code, "said": formatted(one)} for one in found.meant],
        "hits": [_line(hit) for hit in found.hits],
        "near": [_line(hit) for hit in found.near],
    }
    return render(request, "registry/web/found.html", shown, status=200 if found.hits or not text else 404)


def _line(hit: Hit) -> dict[str, str]:
    kind = {"plan": "cross plan", "milt_lot": "milt lot"}.get(hit.kind, hit.kind)
    return {"text": f"{kind.capitalize()} {hit.number}", "detail": hit.why, "address": address(hit.kind, hit.number)}
