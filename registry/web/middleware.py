"""Small things done to every request and response."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest

Handler = Callable[[HttpRequest], HttpResponse]


class RefuseNul:
    """Refuse a NUL character in an address: PostgreSQL cannot store one and would answer with a fault."""

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if "\x00" in request.path or "%00" in request.META.get("QUERY_STRING", ""):
            return HttpResponseBadRequest(
                "The address holds a character that cannot be part of one (NUL). Type it again."
            )
        return self.get_response(request)


class QuietHeaders:
    """Forbid what no page of the register needs, and keep pages out of shared caches on the hall's tablet."""

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=()")
        response.headers.setdefault("Cache-Control", "no-store")
        return response
