"""The site's sign, where browsers look for it unasked."""

from pathlib import Path

from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles import finders
from django.http import Http404, HttpRequest, HttpResponse


@login_not_required
def favicon(_request: HttpRequest) -> HttpResponse:
    """Return the bony plate as SVG."""
    found = finders.find("registry/plate.svg")
    if not found:
        raise Http404
    return HttpResponse(
        Path(found).read_bytes(), content_type="image/svg+xml", headers={"Cache-Control": "max-age=86400"}
    )
